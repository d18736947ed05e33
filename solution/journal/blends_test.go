package journal

import (
	"fmt"
	"slices"
	"time"

	"example.com/chelation/tables"
)

// amends puts every third event right afterwards, at half its amounts: the life is the one in which it
// was written so at first, and refused where that is.
func amends(std *tables.Tables, events []Event) error {
	l, happened, err := happen(std, events)
	if err != nil {
		return err
	}
	for n := 1; n < len(happened); n += 3 {
		if slices.Contains(kinds(happened[n:]), Stood) {
			continue // how long it stood depends on what it stood with
		}
		half := happened[n]
		for _, x := range []*float64{&half.MassGrams, &half.VolumeLitres, &half.RustGrams, &half.SteelGrams} {
			*x /= 2
		}
		other, right := l.clone(), slices.Clone(happened)
		right[n] = half
		amended := other.Apply(Event{At: happened[len(happened)-1].At, Kind: Amended, Number: n + 1, Note: "half of it", As: []Event{half}})
		written, never := Replay(std, right...)
		if (amended == nil) != (never == nil) {
			return fmt.Errorf("amending event %d: %v, writing it so: %v", n+1, amended, never)
		}
		if amended != nil {
			written = l // as it was
		}
		if err := same(std, written, other, 0); err != nil {
			return fmt.Errorf("event %d amended: %w", n+1, err)
		}
	}
	return nil
}

// blends pours part of the bath as it stood halfway through its life into what became of it: what that
// part held comes on top, and its litres but for what warmth makes of them.
func blends(std *tables.Tables, events []Event) error {
	l, happened, err := happen(std, events)
	if err != nil {
		return err
	}
	earlier := happened[:(len(happened)+1)/2]
	young, err := Replay(std, earlier...)
	if err != nil {
		return err
	}
	const part = 0.3
	litres := young.Bath().Litres()
	after := l.clone()
	if err := after.Apply(Event{At: happened[len(happened)-1].At.Add(time.Hour), Kind: Blended, VolumeLitres: part * litres, Bath: earlier, Sure: true}); err != nil {
		return err
	}
	was, err := holds(std, l)
	if err != nil {
		return err
	}
	poured, err := holds(std, young)
	if err != nil {
		return err
	}
	is, err := holds(std, after)
	if err != nil {
		return err
	}
	for name, x := range map[string][3]float64{
		"iron(III)": {was.ferric, poured.ferric, is.ferric}, "iron(II)": {was.ferrous, poured.ferrous, is.ferrous},
		"sodium": {was.sodium, poured.sodium, is.sodium}, "charge": {was.charge, poured.charge, is.charge},
	} {
		if !near(x[0]+part*x[1], x[2], was.scale+poured.scale) {
			return fmt.Errorf("%.12g mol of %s instead of %.12g", x[2], name, x[0]+part*x[1])
		}
	}
	if more := after.Bath().Litres() - l.Bath().Litres(); more < 0.98*part*litres || more > 1.02*part*litres {
		return fmt.Errorf("%g L more of %g L poured", more, part*litres)
	}
	return nil
}

package bath

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/solution/internal/grain"
	"example.com/chelation/tables"
)

// Cause tells why a bath cleans no further, or that it does.
type Cause string

// The causes, in the order in which they are looked for.
const (
	NoBath     Cause = "no bath"      // too sour or too alkaline for any verdict
	Nothing    Cause = "no chelant"   // there never was anything to hold iron
	Soured     Cause = "soured"       // too much acid
	TooStrong  Cause = "too strong"   // more chelant than works
	OutOfRange Cause = "out of range" // more salt than the constants were measured in
	Barred     Cause = "barred"       // this oxide does not dissolve at the pH wanted
	TooWeak    Cause = "too weak"     // hardly any chelant
	Starved    Cause = "starved"      // hardness or other metals hold the chelant
	Spent      Cause = "spent"        // iron holds the chelant
	Settled    Cause = "settled"      // iron has come down as mud
	GasLeaving Cause = "gas leaving"  // carbon dioxide has yet to leave the open tub, and lifts the pH
	Drifted    Cause = "drifted"      // the pH has climbed
	TooCold    Cause = "too cold"
	Working    Cause = "working" // nothing is wrong
)

// Diagnosis tells how a bath stands and what to do next.
type Diagnosis struct {
	Cause    Cause   `json:"cause"`
	PH       float64 `json:"ph"`
	WantedPH float64 `json:"wanted_ph"`
	TargetPH float64 `json:"target_ph"` // to aim at: WantedPH, or one low enough for the oxide; 0 where none would do

	FreeChelantFraction float64  `json:"free_chelant_fraction"`
	SettledAcidGrams    float64  `json:"settled_acid_g,omitempty"` // of the chelants, at the bottom
	Now                 Capacity `json:"takes_as_it_is"`           // left alone
	After               Capacity `json:"takes_when_held"`          // at the pH wanted
	// Remedy is what to put in of what is at hand; nil where nothing is to be, or serves.
	Remedy      *solution.Portion `json:"remedy,omitempty"`
	RemedyDoses solution.Doses    `json:"remedy_doses,omitzero"` // the figures for TargetPH now and for good, of which Remedy is one
	GasLitres   float64           `json:"gas_l,omitempty"`       // carbon dioxide that leaves, with the remedy in
	WaterLitres float64           `json:"add_water_l,omitempty"`
	Text        string            `json:"text"`
}

// Thresholds of a diagnosis: judgement, where nothing else is said.
const (
	spentBelow   = 1 - PracticalShare // free part of the chelant
	barredBelow  = 0.05               // iron per chelant that an oxide can give
	workableFrom = 0.5                // of the iron at the best pH, at the pH to work at instead
	driftedBelow = 0.5                // of what the bath would take at the pH wanted
	moreHeld     = 1.05               // times what it takes left alone that is told of a held pH
	leastTaken   = 0.01               // iron per chelant that a bath takes yet
	climbed      = 0.3                // pH above the target that acid, or to be lifted by gas that a word is worth it for
	souredBy     = 1.0                // pH below the one wanted
	souredBelow  = 5.0                // pH below which the acid itself eats steel by the hour
	strong, weak = 0.4, 0.01          // mol/L of chelant: rust goes no faster above a tenth of the one (see tables.Kinetic, half-coverage), a 20 L tub takes 10 g of iron at the other
	usual        = 0.1                // mol/L to come to from either
	mostSalt     = 3.0                // mol/L of ionic strength, beyond nearly all that was measured
	starvedFrom  = 0.3                // of the chelant, held by metals other than iron
	mudFrom      = 0.02               // iron in mud per chelant
	cold, warm   = 10.0, 20.0         // °C
)

// Diagnose tells which of its limits the bath has met for an oxide, given the pH at which it is
// meant to work, and what to do with the reagents at hand, of which the first that serves is
// taken. Below pH 1 and above pH 13 it gives no verdict but that this is no bath.
func (b *Bath) Diagnose(o Oxide, want float64, atHand ...tables.Reagent) (Diagnosis, error) {
	c := b.contact(o)
	now, err := b.State() // of which gas may have to leave yet
	if err = cmp.Or(chem.Within("pH wanted", want, lowestPH, highestPH, ""), c.err, err); err != nil {
		return Diagnosis{}, err
	}
	d := Diagnosis{PH: now.PH, WantedPH: want, TargetPH: want}
	counted := c.holdings.Counted()
	whole := counted.Total()
	switch {
	case d.PH < lowestPH || d.PH > highestPH:
		d.Cause = NoBath
		d.Text = fmt.Sprintf("At pH %.1f this is no bath, and nothing said about baths holds for it. Parts out, goggles and gloves on; let it run slowly into ten times as much cold water, neutralise that in small portions, and collect it.", d.PH)
		return d, nil
	case whole == 0:
		d.Cause, d.Text = Nothing, "There is no chelant in the bath: add some before anything else."
		return d, nil
	}
	d.FreeChelantFraction = counted.Free() / whole
	for _, h := range c.holdings {
		if x, err := b.tables.Component(h.Chelant); err == nil {
			d.SettledAcidGrams += h.SettledMoles * (x.Species.Formula.MolarMass() - float64(x.Species.Formula.Charge())*hydrogenIon.Formula.MolarMass())
		}
	}
	limit := c.limitOrNone(want)
	d.Now, d.After = c.taken(c.end(alone)), c.held(limit)
	if d.Cause = c.cause(d, limit); errors.Is(c.err, ErrLimitless) {
		d.Cause, c.err = OutOfRange, nil
	} else if d.Cause == Barred {
		d.TargetPH = c.workable()
	}
	if d.GasLitres = c.gasLitres; c.err == nil {
		c.err = b.treat(&d, c, atHand)
	}
	if c.err != nil {
		return Diagnosis{}, c.err
	}
	d.Text = d.words(b, c)
	if d.RemedyDoses != (solution.Doses{}) {
		d.Text = strings.TrimSpace(d.Text + " " + d.RemedyDoses.Told(d.TargetPH, d.Remedy.MassGrams))
	}
	return d, c.err
}

// cause is the first that holds.
func (c *contact) cause(d Diagnosis, l Limit) Cause {
	whole, others, mud := 0.0, 0.0, 0.0
	for _, h := range c.holdings.Counted() {
		whole, others = whole+h.TotalMoles, others+h.HardnessMoles+h.OthersMoles
	}
	for _, s := range c.start.Solids {
		mud += classIn(c.start, s.Made, tables.IronMetal) * s.Moles
	}
	concentration := whole / c.start.VolumeLitres
	for _, x := range []struct {
		Cause
		holds bool
	}{
		{Soured, d.PH < min(d.WantedPH-souredBy, souredBelow)},
		{TooStrong, concentration > strong},
		{OutOfRange, c.start.IonicStrengthMolPerLitre > mostSalt},
		{Barred, l.IronMoles < barredBelow*whole},
		{TooWeak, concentration < weak},
		{Starved, others > starvedFrom*whole && d.FreeChelantFraction < spentBelow},
		{Spent, d.FreeChelantFraction < spentBelow},
		{Settled, mud > mudFrom*whole},
		{GasLeaving, c.start.PH > d.PH+climbed},
		{Drifted, d.PH > d.WantedPH+climbed && d.Now.IronMoles < driftedBelow*d.After.IronMoles},
		{TooCold, c.start.TemperatureC < cold},
	} {
		if x.holds {
			return x.Cause
		}
	}
	return Working
}

// workable returns the highest half unit of pH at which the oxide gives half of what it
// gives at the best of them, 0 if that is next to nothing. Citrate holds half an iron where
// EDTA holds one, and none of either in strong acid.
func (c *contact) workable() float64 {
	const low, high, step = 2.0, 12.0, 0.5
	var gives []float64
	for pH := low; pH <= high; pH += step {
		gives = append(gives, min(c.limitOrNone(pH).IronPerChelant, 1))
	}
	best := slices.Max(gives)
	for i, x := range slices.Backward(gives) {
		if best >= barredBelow && x >= workableFrom*best {
			return low + step*float64(i)
		}
	}
	return 0
}

// treat finds what to put in, for the pH that comes of it once gas has left.
func (b *Bath) treat(d *Diagnosis, c *contact, atHand []tables.Reagent) error {
	counted := c.holdings.Counted()
	whole := counted.Total()
	switch d.Cause {
	case TooStrong:
		d.WaterLitres = max(whole/usual-b.Litres(), 0)
	case OutOfRange:
		d.WaterLitres = b.Litres()
	case TooWeak, Starved, Spent:
		moles := whole - counted.Free() // as much free as there is of it
		if d.Cause == TooWeak {
			moles = usual*b.Litres() - whole
		}
		i := slices.IndexFunc(atHand, func(r tables.Reagent) bool { return counted.Of(r.Chelant.String()).TotalMoles > 0 })
		if i >= 0 && moles > 0 {
			d.Remedy = new(solution.NewPortion(atHand[i], unit.Mass(moles/atHand[i].MolPerGram().Typical/1000)))
		}
	default:
		if d.Cause != Soured && (d.TargetPH == 0 || c.start.PH <= d.TargetPH+climbed) {
			return nil
		}
		for _, r := range atHand {
			x, err := b.place.Dose(&b.Solution, r, d.TargetPH)
			if errors.Is(err, solution.ErrUnreachable) {
				continue
			}
			d.Remedy, d.RemedyDoses, d.GasLitres = new(solution.NewPortion(r, unit.Mass(x.AdvisedGrams/1000))), x.Doses, x.GasLitres
			return err
		}
	}
	return nil
}

// words puts a diagnosis into a sentence or three.
func (d Diagnosis) words(b *Bath, at *contact) string {
	rust := func(c Capacity) string { return measure.FormatGrams(c.RustGrams) }
	dose := ""
	if d.Remedy != nil {
		dose = fmt.Sprintf("%s of %s", d.Remedy.Text(), d.Remedy.Name)
	}
	switch d.Cause {
	case Soured:
		return d.soured(b, dose)
	case TooStrong:
		return fmt.Sprintf("The bath is stronger than does any good: rust goes no faster for it, and more is lost with every part. Add %s of water; what does not fit the tub makes a second bath.", measure.FormatLitres(d.WaterLitres))
	case OutOfRange:
		return fmt.Sprintf("So much salt is dissolved that no figure here can be trusted. Add %s of water, read the pH and ask again.", measure.FormatLitres(d.WaterLitres))
	case Spent:
		return fmt.Sprintf("The chelant is used up: %.0f %% of it holds metal. Acid does not help. Mix a new bath and collect the old one, or add %s and bring it to pH again.", 100*(1-d.FreeChelantFraction), either(dose != "", dose, "chelant"))
	case Starved:
		text := fmt.Sprintf("Hardness or metals other than iron hold the chelant: %.0f %% of it is free. Iron(III) can take their place only slowly and in part.", 100*d.FreeChelantFraction)
		return text + either(dose != "", " Add "+dose+", or mix the next bath with softer water.", " Add chelant, or mix a new bath with softer water.")
	case Barred:
		if d.TargetPH == 0 {
			return fmt.Sprintf("This bath dissolves next to no %s at any pH: mix one of a chelant that does, and collect this one.", at.oxide.Name)
		}
		text := fmt.Sprintf("At pH %.1f equilibrium allows next to no %s to dissolve, however long it lies there. Work near pH %.1f.", d.WantedPH, at.oxide.Name, d.TargetPH)
		text += either(d.TargetPH < souredBelow, " That sour it eats bare steel too: watch the parts by the hour, and leave hard steel out.", "")
		return text + either(dose != "", " "+d.acidify(dose)+".", "")
	case Settled:
		return "Iron has come down as mud, which works no more and hides parts. " + either(dose != "", d.acidify(dose)+"; what is not dissolved again in a day, let sink and filter off.", "Let it sink and filter it off.")
	case GasLeaving:
		text := fmt.Sprintf("Carbon dioxide is leaving, %s of it: it takes the pH from %.1f to %.1f by itself, which is neither rust nor a wrong scoop.", measure.FormatLitres(at.gasLitres), d.PH, at.start.PH)
		return text + either(dose != "", fmt.Sprintf(" That is too far: add %s, which ends at pH %.1f once it has left; it foams.", dose, d.TargetPH), " Stir and wait; add nothing for it.")
	case Drifted:
		if dose == "" {
			return fmt.Sprintf("The bath has drifted to pH %.1f and is not spent: %.0f %% of its chelant is free. Nothing at hand brings it back to %.1f; use a stronger acid.", d.PH, 100*d.FreeChelantFraction, d.TargetPH)
		}
		how := fmt.Sprintf("The bath has only drifted: %.0f %% of its chelant is still free, yet as", 100*d.FreeChelantFraction)
		if at.iron == 0 {
			how = "The bath has held no rust and has yet to be brought to its pH: as"
		}
		return fmt.Sprintf("%s it is it takes %s of rust (%s). %s; it then takes about %s while held there.", how, rust(d.Now), at.oxide.Name, d.acidify(dose), rust(d.After))
	case TooWeak:
		return fmt.Sprintf("There is next to no chelant in so much water: all of it takes %s of rust. ", rust(d.After)) + either(dose != "", "Add "+dose+" and bring it to pH again.", "Add chelant and bring it to pH again.")
	case TooCold:
		slower := grain.Arrhenius(b.figure(&at.err, "activation-energy").Typical, float64(b.Temperature()), float64(chem.Celsius(warm)))
		return fmt.Sprintf("Nothing is wrong but the cold: at %.0f °C rust goes about %.1f times slower than at %.0f °C. Bring the tub indoors, or leave the parts in that much longer.", at.start.TemperatureC, slower, warm)
	}
	least := leastTaken * at.holdings.Counted().Total()
	text := fmt.Sprintf("The bath works. Left alone it takes about %s more of rust (%s)", rust(d.Now), at.oxide.Name)
	if d.Now.IronMoles < least {
		text = fmt.Sprintf("Nothing is wrong with the bath, but left alone it takes no more rust (%s) to speak of", at.oxide.Name)
	}
	if d.After.IronMoles > max(least, moreHeld*d.Now.IronMoles) {
		text += fmt.Sprintf(", and about %s when its pH is held at %.1f", rust(d.After), d.TargetPH)
	} else if d.Now.IronMoles < least && dose == "" {
		text += "; a lower pH would let it"
	}
	return text + either(dose != "", ". "+d.acidify(dose), "") + "."
}

// acidify tells how to bring the pH down.
func (d Diagnosis) acidify(dose string) string {
	return fmt.Sprintf("Add %s, most of it at once and the rest in portions, to come from pH %.1f to %.1f", dose, d.PH, d.TargetPH)
}

// soured tells what too much acid did, and how to take it back.
func (d Diagnosis) soured(b *Bath, dose string) string {
	text := fmt.Sprintf("The bath has soured to pH %.1f: parts out. The acid itself eats bare steel", d.PH)
	if steel, err := b.SteelAtRisk(); err == nil && steel > 0 {
		text += fmt.Sprintf(", up to %s of it, with hydrogen: lid off, no flame, and bake hardened parts or springs that were in it", measure.FormatGrams(steel))
	}
	text += "."
	if d.SettledAcidGrams > 0 {
		text += fmt.Sprintf(" %s of the chelant lies at the bottom as white grains of its acid; they dissolve again.", measure.FormatGrams(d.SettledAcidGrams))
	}
	if dose == "" {
		return text + fmt.Sprintf(" Nothing at hand brings it back to pH %.1f: it wants a base, such as washing soda.", d.TargetPH)
	}
	text += fmt.Sprintf(" Add %s in all, in four portions, each when the foam of the last has gone, and read after each; it ends at pH %.1f.", dose, d.TargetPH)
	if d.GasLitres > leastFoam {
		text += fmt.Sprintf(" %s of carbon dioxide leave: never close the tub.", measure.FormatLitres(d.GasLitres))
	}
	return text
}

// either chooses between two ends of a sentence.
func either(first bool, a, b string) string {
	if first {
		return a
	}
	return b
}

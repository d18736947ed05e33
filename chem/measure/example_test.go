package measure_test

import (
	"encoding/json"
	"fmt"

	"example.com/chelation/chem/measure"
)

// Two level tablespoons of a powder, as a mass with its range.
func Example() {
	powder := measure.BulkDensity{Loose: 620, Typical: 690, Tapped: 760} // kg/m³
	v, err := measure.ParseVolume("2 tbsp")
	if err != nil {
		fmt.Println(err)
		return
	}
	m := powder.MassOf(v)
	fmt.Printf("%.1f g, %.1f to %.1f g\n", m.TypicalGrams, m.LowGrams, m.HighGrams)
	// Output:
	// 20.4 g, 18.3 to 22.5 g
}

func ExampleParseMass() {
	for _, s := range []string{"1 lb 4 oz", "2½ lb", "30", "8 fl oz"} {
		m, err := measure.ParseMass(s)
		if err != nil {
			fmt.Println(err)
			continue
		}
		fmt.Println(s, "is", measure.FormatMass(m))
	}
	// Output:
	// 1 lb 4 oz is 570 g
	// 2½ lb is 1.13 kg
	// mass is "30": want a unit such as mg, g, kg, grain, oz, lb at the end
	// mass is "8 fl oz": want a unit such as mg, g, kg, grain, oz, lb at "fl oz" (fl oz is a unit of volume; the ounce of mass is written oz)
}

func ExampleParseVolume() {
	for _, s := range []string{"5 gal", "1 1/2 tsp", "2 tbps", "2 T"} {
		v, err := measure.ParseVolume(s)
		if err != nil {
			fmt.Println(err)
			continue
		}
		fmt.Println(s, "is", measure.FormatVolume(v))
	}
	// Output:
	// 5 gal is 18.9 L
	// 1 1/2 tsp is 7.4 mL
	// volume is "2 tbps": want a unit such as tbsp at "tbps"
	// volume is "2 T": want tbsp or tsp at "T" ("T" and "t" are easily confused)
}

func ExampleParseTemperature() {
	t, err := measure.ParseTemperature("70F")
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.2f K, %s\n", float64(t), measure.FormatTemperature(t))
	// Output:
	// 294.26 K, 21 °C (70 °F)
}

func ExampleParseAmount() {
	powder := measure.BulkDensity{Loose: 620, Typical: 690, Tapped: 760}
	for _, s := range []string{"30 g", "1/4 cup"} {
		a, err := measure.ParseAmount(s)
		if err != nil {
			fmt.Println(err)
			continue
		}
		m, err := a.Weigh(powder)
		fmt.Printf("%s is %.0f g, %.0f to %.0f g %v\n", s, m.TypicalGrams, m.LowGrams, m.HighGrams, err)
	}
	// Output:
	// 30 g is 30 g, 30 to 30 g <nil>
	// 1/4 cup is 41 g, 37 to 45 g <nil>
}

// How many spoons hold 20 g of the powder?
func ExampleSpoons() {
	powder := measure.BulkDensity{Loose: 620, Typical: 690, Tapped: 760}
	m, err := measure.ParseMass("20 g")
	if err != nil {
		fmt.Println(err)
		return
	}
	spoons, hold, err := measure.Spoons(powder.VolumeOf(m))
	held := powder.MassOf(hold)
	fmt.Printf("%s hold %.1f to %.1f g %v\n", spoons, held.LowGrams, held.HighGrams, err)
	// Output:
	// about 2 level tablespoons hold 18.3 to 22.5 g <nil>
}

// An amount keeps its kind in a file, to the last digit.
func ExampleAmount() {
	amounts := []measure.Amount{measure.AmountOfMass(measure.Pound), {VolumeLitres: float64(2 * measure.Tablespoon / measure.Litre)}}
	text, err := json.Marshal(amounts)
	if err != nil {
		fmt.Println(err)
		return
	}
	var back []measure.Amount
	err = json.Unmarshal(text, &back)
	fmt.Println(string(text), err, back[0] == amounts[0], back[1] == amounts[1])
	// Output:
	// [{"mass_g":453.59237},{"volume_l":0.0295735295625}] <nil> true true
}

// The bag says 500 g; how much room does it take in a jar, at the loosest?
func ExampleBulkDensity_VolumeOf() {
	powder := measure.BulkDensity{Loose: 620, Typical: 690, Tapped: 760}
	loosest := measure.BulkDensity{Loose: powder.Loose, Typical: powder.Loose, Tapped: powder.Loose}
	fmt.Println(measure.FormatVolume(powder.VolumeOf(500*measure.Gram)), measure.FormatVolume(loosest.VolumeOf(500*measure.Gram)))
	// Output:
	// 720 mL 810 mL
}

// Fields of results are in g and L.
func ExampleFormatGrams() {
	fmt.Println(measure.FormatGrams(0.0125), measure.FormatGrams(83.04), measure.FormatGrams(1360.8), measure.FormatLitres(0.3), measure.FormatLitres(18.93))
	// Output:
	// 12.5 mg 83 g 1.36 kg 300 mL 18.9 L
}

func ExampleParseLength() {
	for _, s := range []string{`5' 3-1/2"`, "2 mil", "3/4 foot"} {
		l, err := measure.ParseLength(s)
		fmt.Println(measure.FormatLength(l), err)
	}
	// Output:
	// 1.61 m <nil>
	// 51 µm <nil>
	// 23 cm <nil>
}

func ExampleParseArea() {
	a, err := measure.ParseArea("2 ft²")
	fmt.Println(measure.FormatArea(a), err)
	// Output:
	// 1860 cm² <nil>
}

func ExampleParseTime() {
	for _, s := range []string{"2 h 30 min", "1½ days", "90 s"} {
		x, err := measure.ParseTime(s)
		fmt.Println(float64(x), err)
	}
	// Output:
	// 9000 <nil>
	// 129600 <nil>
	// 90 <nil>
}

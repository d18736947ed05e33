package measure_test

import (
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
	fmt.Println(powder.MassOf(v))
	// Output:
	// 20 g (18.3 g to 22 g)
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
	// mass "30": a unit is missing; understood are mg, g, kg, grain, oz, lb
	// mass "8 fl oz": fl oz is a unit of volume; expected mg, g, kg, grain, oz, lb; the ounce of mass is written oz
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
	// volume "2 tbps": unknown unit "tbps"; did you mean tbsp?
	// volume "2 T": "T" and "t" are easily confused: write tbsp or tsp
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
		fmt.Println(s, "is", m, err)
	}
	// Output:
	// 30 g is 30 g <nil>
	// 1/4 cup is 41 g (37 g to 45 g) <nil>
}

// How many spoons hold 20 g of the powder?
func ExampleSpoons() {
	powder := measure.BulkDensity{Loose: 620, Typical: 690, Tapped: 760}
	m, err := measure.ParseMass("20 g")
	if err != nil {
		fmt.Println(err)
		return
	}
	spoons, err := measure.Spoons(powder.VolumeOf(m).Typical)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%s (off by %+.1f %%)\n", spoons, 100*spoons.Error)
	// Output:
	// about 2 level tablespoons (off by +2.0 %)
}

func ExampleParseConcentration() {
	c, err := measure.ParseConcentration("5 % w/v")
	if err != nil {
		fmt.Println(err)
		return
	}
	tub, err := measure.ParseVolume("20 L")
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%s, %.2f oz/gal, %s in the tub\n", c, c.OuncesPerGallon(), measure.FormatMass(c.MassIn(tub)))
	// Output:
	// 50 g/L, 6.68 oz/gal, 1 kg in the tub
}

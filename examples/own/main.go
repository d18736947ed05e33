// Command own gives malonic acid constants (NIST SRD 46) and prints its forms at each pH.
package main

import (
	"fmt"
	"log"
	"testing/fstest"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/tables"
)

var malonate = fstest.MapFS{
	"components.csv": {Data: []byte("species,composition,name,role,class,synonyms\nmal2-,C3H2O4^2-,malonate,ligand,,\n")},
	"constants/mal.csv": {Data: []byte("reaction,quantity,temperature_c,ionic_strength_mol_l,medium,value,uncertainty,use,source,note\n" +
		"mal2- + H+ = Hmal-,log K,25,0,,5.696,,fit,nist46,row 151937\nHmal- + H+ = H2mal,log K,25,0,,2.847,,fit,nist46,row 151965\n")},
}

func main() {
	v := must(solution.New(must(must(tables.Standard()).With(malonate)), chem.Celsius(25)))
	must(v, v.AddPureWater(measure.Litre))
	must(v, v.AddSpecies("malonate", 0.001))
	for pH := 2; pH <= 8; pH++ {
		must(v, v.HoldPH(float64(pH)))
		fmt.Printf("pH %d:", pH)
		for _, form := range must(must(v.Equilibrate()).Distribution("malonate")) {
			fmt.Printf("  %-5v %5.1f %%", form.Species, 100*form.Value)
		}
		fmt.Println()
	}
}

func must[T any](x T, err error) T {
	if err != nil {
		log.Fatal(err)
	}
	return x
}

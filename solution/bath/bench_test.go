package bath_test

import (
	"testing"

	"example.com/chelation/chem/measure"
	"example.com/chelation/solution/internal/demo"
)

func BenchmarkCapacities(b *testing.B) {
	tub, o := demo.Mix(b, demo.Recipe(b)), demo.Oxide(b, "lepidocrocite")
	for b.Loop() {
		if _, err := tub.Capacities(o, 7); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkUpkeep(b *testing.B) {
	r := demo.Recipe(b)
	tub, o := demo.Mix(b, r), demo.Oxide(b, "lepidocrocite")
	for b.Loop() {
		if _, err := tub.Upkeep(r.Acid, o, 7, 0.5); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkDiagnose(b *testing.B) {
	r := demo.Recipe(b)
	tub, o := demo.Mix(b, r), demo.Oxide(b, "lepidocrocite")
	if err := tub.Dissolve(o, 45*measure.Gram); err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := tub.Diagnose(o, 7, r.Acid); err != nil {
			b.Fatal(err)
		}
	}
}

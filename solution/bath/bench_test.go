package bath_test

import "testing"

func BenchmarkCapacities(b *testing.B) {
	tub, o := mix(b, recipe(b)), oxide(b, "lepidocrocite")
	for b.Loop() {
		if _, err := tub.Capacities(o, 7); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkUpkeep(b *testing.B) {
	r := recipe(b)
	tub, o := mix(b, r), oxide(b, "lepidocrocite")
	for b.Loop() {
		if _, err := tub.Upkeep(r.Acid, o, 7, 0.5); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkDiagnose(b *testing.B) {
	r := recipe(b)
	tub, o := mix(b, r), oxide(b, "lepidocrocite")
	if err := tub.Dissolve(o, 45); err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := tub.Diagnose(r.Acid, o, 7); err != nil {
			b.Fatal(err)
		}
	}
}

package solution

import "testing"

// A bath whose model is there, compiled anew, dosed and differentiated.

func BenchmarkEquilibrate(b *testing.B) {
	s := tub(b)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := s.Equilibrate(); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkCompile(b *testing.B) {
	s := tub(b)
	b.ReportAllocs()
	for b.Loop() {
		s.model = nil
		if _, err := s.compiled(); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkDose(b *testing.B) {
	s, acid := tub(b), reagent(b, "citric acid, anhydrous")
	b.ReportAllocs()
	for b.Loop() {
		if _, err := s.Dose(acid, PH(7)); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkResponse(b *testing.B) {
	s, acid := tub(b), reagent(b, "citric acid, anhydrous")
	b.ReportAllocs()
	for b.Loop() {
		if _, _, err := s.Response(acid); err != nil {
			b.Fatal(err)
		}
	}
}

package tables

import "testing"

func BenchmarkLoad(b *testing.B) {
	for b.Loop() {
		if _, err := new(Tables).With(Data()); err != nil {
			b.Fatal(err)
		}
	}
}

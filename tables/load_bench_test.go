package tables

import (
	"io/fs"
	"testing"
)

func BenchmarkLoad(b *testing.B) {
	data, err := fs.Sub(embedded, "data")
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := Load(data); err != nil {
			b.Fatal(err)
		}
	}
}

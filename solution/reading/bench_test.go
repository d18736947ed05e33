package reading

import "testing"

func BenchmarkNew(b *testing.B) {
	setup, tb := tub(b), standard(b)
	for b.Loop() {
		if _, err := New(tb, setup); err != nil {
			b.Fatal(err)
		}
	}
}

// One advice from scratch after five readings and four additions.
func BenchmarkAdvise(b *testing.B) {
	m := model(b, tub(b))
	s, acid := strip(b, "universal strip"), m.setup.Acid
	events := []Event{
		Read{s, 11}, Added{acid, amount(b, "4 tbsp")}, Read{s, 9}, Added{acid, amount(b, "1 tbsp")}, Read{s, 8},
		Added{acid, amount(b, "1 tsp")}, Read{s, 8}, Added{acid, amount(b, "1 tsp")}, Read{s, 8},
	}
	for b.Loop() {
		p, err := m.Infer(events)
		if err != nil {
			b.Fatal(err)
		}
		if _, err := p.Advise(); err != nil {
			b.Fatal(err)
		}
	}
}

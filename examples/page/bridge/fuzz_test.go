package bridge

import (
	"encoding/json"
	"testing"
)

// Whatever a page sends, the bridge answers in JSON: an answer or a problem, never both.
func FuzzAnswer(f *testing.F) {
	for _, text := range []string{
		`{"call": "weigh", "units": "us", "request": {"volume": "5 gal", "amount": "1 lb"}}`, `{"call": "weigh", "request": {"volume": "5"}}`,
		`{"version": 3, "call": "weigh"}`, `{"call": "next", "request": {}}`, `{"call": "note", "request": {"journal": "{}", "event": {}}}`, `{`, `null`, ``,
	} {
		f.Add([]byte(text))
	}
	b, err := New()
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		var out struct {
			Version int             `json:"version"`
			Answer  json.RawMessage `json:"answer"`
			Error   *Problem        `json:"error"`
		}
		if err := json.Unmarshal(b.Answer(text), &out); err != nil {
			t.Fatal(err)
		}
		if out.Version != Version || (len(out.Answer) == 0) == (out.Error == nil) {
			t.Fatalf("version %d, answer %s, error %v", out.Version, out.Answer, out.Error)
		}
	})
}

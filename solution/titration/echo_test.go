package titration_test

import (
	"context"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
	"example.com/chelation/solution/titration"
)

// What a caller typed is told back cut to a readable length, however long it was.
func TestEchoesAreCut(t *testing.T) {
	run, err := titration.New(mix(t, 50, map[string]float64{"Hac": 0.1}), strongBase(t, 0.1), "H+")
	require.NoError(t, err)
	readings := []titration.Reading{{ML: 1, P: 3}, {ML: 2, P: 4}, {ML: 3, P: 5}}
	long := strings.Repeat("kryptonite ", 1000)
	for name, call := range map[string]func() error{
		"balance":           func() error { _, err := run.Equivalence(long); return err },
		"balance of two":    func() error { _, err := run.Equivalence(long + "=" + long); return err },
		"balance never met": func() error { _, err := run.Equivalence("0" + strings.Repeat(" + Hac", 1000) + " = 0"); return err },
		"probe":             func() error { _, err := titration.New(mix(t, 50, nil), strongBase(t, 0.1), long); return err },
		"species":           func() error { _, err := run.At(1*mL, long); return err },
		"unknown": func() error {
			_, err := run.Fit(context.Background(), readings, titration.Fitting{}, titration.Unknown(long))
			return err
		},
		"unknown twice": func() error {
			twice := titration.Concentration("Hac" + strings.Repeat(" ", 1000))
			_, err := run.Fit(context.Background(), readings, titration.Fitting{}, twice, twice)
			return err
		},
	} {
		err := call()
		require.ErrorIs(t, err, chem.ErrInput, name)
		require.Less(t, len(err.Error()), 400, name)
	}
}

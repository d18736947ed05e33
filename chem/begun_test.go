package chem_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
)

// The beginning of a long name with one slip in it finds the name: two letters swapped by as
// many letters, one left out by one more. Two slips do not.
func TestBeginningsWithASlip(t *testing.T) {
	const name = "citric acid, anhydrous"
	for asked, found := range map[string]bool{"citirc": true, "citrc": true, "citric": true, "citirc acdi": true, "ciitrc": false, "cxtrix": false, "ticirc": false, "ictrci": true, "zitronen": false, "ctirci": true} {
		got := chem.Nearest(asked, slices.Values([]string{name, "sodium hydroxide"}))
		require.Equal(t, found, slices.Contains(got, name), asked)
		require.NotContains(t, got, "sodium hydroxide")
	}
}

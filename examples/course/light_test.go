package main

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.com/chelation/chem"
)

// Light falls on no lid and no board, unless that comes off on the way.
func TestLightUnderALid(t *testing.T) {
	for _, cover := range []string{"lidded", "board on top"} {
		args := []string{"-light", "sun", "-cover", cover, "-show", "course", "-hours", "1"}
		var out bytes.Buffer
		err := run(args, &out, &out)
		assert.ErrorIs(t, err, chem.ErrInput)
		assert.ErrorContains(t, err, "it is dark there")
		assert.Empty(t, out.String())
		assert.NoError(t, run(append(args, "-then", "still after 30 min"), &out, &out))
	}
}

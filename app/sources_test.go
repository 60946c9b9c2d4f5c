package app

import (
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/reference"
)

func TestEveryTopicHasWords(t *testing.T) {
	table, err := os.ReadFile("../engine/reference/table.tsv")
	require.NoError(t, err)
	cases := reference.Cases(string(table))
	require.NotEmpty(t, cases)
	for _, c := range cases {
		assert.NotEmpty(t, topicWords[c.Topic], c.Topic)
	}
}

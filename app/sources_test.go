package app

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"pegpour/engine/reference"
)

func TestEveryTopicHasWords(t *testing.T) {
	for _, c := range reference.Cases() {
		assert.NotEmpty(t, topicWords[c.Topic], c.Topic)
	}
}

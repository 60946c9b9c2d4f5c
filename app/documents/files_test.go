package documents

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestFileNamesArePlain(t *testing.T) {
	assert.Equal(t, "hill-road-5", FileBase("Hill Road 5"))
	assert.Equal(t, "site", FileBase("…"))
	assert.Equal(t, "etc-passwd", FileBase("../../etc/passwd"))
	assert.LessOrEqual(t, len(FileBase("aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa")), 40)
}

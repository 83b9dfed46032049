package gerber

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"
)

func BenchmarkRead(b *testing.B) {
	name := filepath.Join("..", "..", "..", "shared", "checks", "boards", "orangecrab", "OrangeCrab-inner3.gbr")
	data, err := os.ReadFile(name)
	if err != nil {
		b.Skip("shared boards are absent")
	}
	b.SetBytes(int64(len(data)))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Read(bytes.NewReader(data), "inner3.gbr"); err != nil {
			b.Fatal(err)
		}
	}
}

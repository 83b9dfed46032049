package main

import (
	"bufio"
	"encoding/binary"
	"fmt"
	"io"
	"os"

	"ohmward/internal/sparse"
)

// problem is a matrix with the plan coordinates of its unknowns, metres.
type problem struct {
	m    *sparse.Matrix
	x, y []float64
}

// write stores the problem in the form that oracle/cholmod.c describes.
func (p *problem) write(name string) (err error) {
	f, err := os.Create(name)
	if err != nil {
		return err
	}
	defer func() {
		if e := f.Close(); err == nil {
			err = e
		}
	}()
	w := bufio.NewWriterSize(f, 1<<20)
	start := make([]int64, len(p.m.Start))
	for i, s := range p.m.Start {
		start[i] = int64(s)
	}
	head := []int64{int64(p.m.N), int64(len(p.m.Row))}
	for _, part := range []any{head, start, p.m.Row, p.m.Value, p.x, p.y} {
		if err := binary.Write(w, binary.LittleEndian, part); err != nil {
			return err
		}
	}
	return w.Flush()
}

// read loads a problem. It needs little memory beside the problem itself.
func read(name string) (*problem, error) {
	f, err := os.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	r := bufio.NewReaderSize(f, 1<<16)
	n, nnz := int(word(r)), int(word(r))
	info, err := f.Stat()
	if err != nil {
		return nil, err
	}
	if n < 0 || nnz < 0 || info.Size() != 16+8*int64(n+1)+12*int64(nnz)+16*int64(n) {
		return nil, fmt.Errorf("speed: %s: %d unknowns and %d entries do not make %d bytes", name, n, nnz,
			info.Size())
	}
	m := &sparse.Matrix{N: n, Start: make([]int, n+1), Row: make([]int32, nnz), Value: make([]float64, nnz)}
	p := &problem{m: m, x: make([]float64, n), y: make([]float64, n)}
	for i := range m.Start {
		m.Start[i] = int(word(r))
	}
	for _, part := range []any{m.Row, m.Value, p.x, p.y} {
		if err := inPieces(r, part); err != nil {
			return nil, err
		}
	}
	return p, nil
}

// word reads one integer; the length of the file is checked after the first
// two.
func word(r io.Reader) int64 {
	var b [8]byte
	if _, err := io.ReadFull(r, b[:]); err != nil {
		return -1
	}
	return int64(binary.LittleEndian.Uint64(b[:]))
}

// inPieces fills a slice without a buffer of its whole length.
func inPieces(r io.Reader, part any) error {
	const piece = 4096
	switch part := part.(type) {
	case []int32:
		for ; len(part) > 0; part = part[min(piece, len(part)):] {
			if err := binary.Read(r, binary.LittleEndian, part[:min(piece, len(part))]); err != nil {
				return err
			}
		}
	case []float64:
		for ; len(part) > 0; part = part[min(piece, len(part)):] {
			if err := binary.Read(r, binary.LittleEndian, part[:min(piece, len(part))]); err != nil {
				return err
			}
		}
	}
	return nil
}

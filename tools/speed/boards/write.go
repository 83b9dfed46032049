package boards

import (
	"bufio"
	"fmt"
	"io"
	"os"
	"path/filepath"
)

// Write puts the board's files into a folder that exists.
func (b *Board) Write(folder string) error {
	for i, r := range b.roles {
		side := map[role]string{top: "Top", bottom: "Bot"}[r]
		if side == "" {
			side = "Inr"
		}
		function := fmt.Sprintf("Copper,L%d,%s", i+1, side)
		if err := b.layer(folder, fmt.Sprintf("copper%d.gbr", i+1), function,
			func(l *layerWriter) { b.copper(l, i) }); err != nil {
			return err
		}
	}
	for _, f := range []struct {
		name, function string
		draw           func(l *layerWriter)
	}{
		{"mask-top.gbr", "Soldermask,Top", func(l *layerWriter) { b.mask(l, top) }},
		{"mask-bottom.gbr", "Soldermask,Bot", func(l *layerWriter) { b.mask(l, bottom) }},
		{"legend-top.gbr", "Legend,Top", b.legend},
		{"outline.gbr", "Profile,NP", b.outline},
	} {
		if err := b.layer(folder, f.name, f.function, f.draw); err != nil {
			return err
		}
	}
	return create(filepath.Join(folder, "plated.drl"), b.drill)
}

func (b *Board) layer(folder, name, function string, draw func(l *layerWriter)) error {
	return create(filepath.Join(folder, name), func(w io.Writer) error {
		l := newLayer(w, function)
		draw(l)
		return l.close()
	})
}

func create(name string, fill func(w io.Writer) error) error {
	f, err := os.Create(name)
	if err != nil {
		return err
	}
	if err := fill(f); err != nil {
		f.Close()
		return err
	}
	return f.Close()
}

// drill writes all vias as 0.2 mm plated holes.
func (b *Board) drill(to io.Writer) error {
	w := bufio.NewWriter(to)
	fmt.Fprintf(w, "M48\n; #@! TF.FileFunction,Plated,1,%d,PTH\nFMAT,2\nMETRIC\nT1C0.200\n%%\nG90\nG05\nT1\n",
		b.Layers)
	for t := range b.tiles() {
		at := b.groundVias(t)
		for k := range vias {
			at = append(at, b.via(t, k))
		}
		for _, p := range at {
			fmt.Fprintf(w, "X%.3fY%.3f\n", float64(p.x)/mm, float64(p.y)/mm)
		}
	}
	fmt.Fprint(w, "M30\n")
	return w.Flush()
}

package main

import "fmt"

// build makes the whole board: placed, routed, poured, and checked.
func build() (*board, error) {
	b, err := assemble()
	if err != nil {
		return nil, err
	}
	if err := b.checkPlacement(); err != nil {
		return nil, err
	}
	if err := route(b); err != nil {
		return nil, err
	}
	if err := b.pourGround(); err != nil {
		return nil, err
	}
	b.addSpokes()
	return b, nil
}

// output is one file to write; its path is relative to the demo folder.
type output struct {
	path string
	data []byte
}

// outputs renders every file of the demo that is generated.
func outputs(b *board) ([]output, error) {
	faults, err := faultsFile(b)
	if err != nil {
		return nil, fmt.Errorf("faults: %w", err)
	}
	job, err := jobFile()
	if err != nil {
		return nil, fmt.Errorf("job file: %w", err)
	}
	list := []output{
		{"board/" + jobName, job},
		{"faults.json", faults},
		{"board/RL-40-parts.csv", partsFile(b)},
		{"board/RL-40-plated.drl", platedFile(b)},
		{"board/RL-40-unplated.drl", unplatedFile(b)},
	}
	for _, f := range gerberFiles {
		list = append(list, output{"board/" + f.path, f.draw(b)})
	}
	return list, nil
}

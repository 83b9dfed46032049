package cli

import (
	"fmt"
	"strconv"
	"strings"
)

// twoNets reads two different nets.
func twoNets(text string) ([]string, error) {
	nets := splitNets(text)
	if len(nets) != 2 || nets[0] == "" || nets[1] == "" || nets[0] == nets[1] {
		return nil, fmt.Errorf("%q is not two different nets with a comma between, as in +3V3,GND", text)
	}
	return nets, nil
}

// splitNets splits a list of nets at its commas, but for the one within the name
// of copper that has none, as copper@12.30,45.60.
func splitNets(v string) (nets []string) {
	for _, part := range strings.Split(v, ",") {
		part = strings.TrimSpace(part)
		y, _, _ := strings.Cut(part, "/") // two such names for one place end in a layer
		if last := len(nets) - 1; last >= 0 && halfPlace(nets[last]) && isNumber(y) {
			nets[last] += "," + part
			continue
		}
		nets = append(nets, part)
	}
	return nets
}

// halfPlace tells whether a net's name breaks off after an abscissa.
func halfPlace(name string) bool {
	_, x, is := strings.Cut(name, "@")
	return is && isNumber(x)
}

func isNumber(text string) bool {
	_, err := strconv.ParseFloat(text, 64)
	return err == nil
}

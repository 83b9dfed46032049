//go:build !linux

package meter

import "fmt"

func usbNodes() (map[string]Address, error) { return nil, nil }

func openUSB(Address) (Transport, error) {
	return nil, fmt.Errorf("USB test-and-measurement devices are spoken with on Linux alone")
}

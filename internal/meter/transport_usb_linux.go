package meter

import (
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"golang.org/x/sys/unix"
)

// Requests of the system's driver (linux/usb/tmc.h), as numbered on amd64, 386,
// arm and arm64.
const (
	usbClear      = 0x5B02     // both queues of the device are emptied
	usbSetTimeout = 0x40045B0A // milliseconds, of one read or write
	usbCancel     = 0x5B23     // reads and writes under way end
)

// usbPatience is how long the driver waits for a message, in milliseconds.
const usbPatience = 60_000

// usbClass is where the system lists the devices.
const usbClass = "/sys/class/usbmisc"

// usbNodes lists the devices and their nodes.
func usbNodes() (map[string]Address, error) { return usbNodesIn(usbClass) }

// usbNodesIn looks in a folder that is laid out as usbClass is: each entry has
// a link "device" to the interface, whose parent is the device.
func usbNodesIn(class string) (map[string]Address, error) {
	entries, err := filepath.Glob(filepath.Join(class, "usbtmc*"))
	if err != nil {
		return nil, err
	}
	found := map[string]Address{}
	for _, e := range entries {
		iface, err := filepath.EvalSymlinks(filepath.Join(e, "device"))
		if err != nil {
			continue // unplugged just now
		}
		device := filepath.Dir(iface)
		a := Address{Interface: USB, SerialNo: attribute(device, "serial")}
		vendor, err1 := strconv.ParseUint(attribute(device, "idVendor"), 16, 16)
		product, err2 := strconv.ParseUint(attribute(device, "idProduct"), 16, 16)
		if err1 != nil || err2 != nil {
			continue
		}
		a.Vendor, a.Product = uint16(vendor), uint16(product)
		found["/dev/"+filepath.Base(e)] = a
	}
	return found, nil
}

func attribute(folder, name string) string {
	text, err := os.ReadFile(filepath.Join(folder, name))
	if err != nil {
		return ""
	}
	return strings.TrimSpace(string(text))
}

// openUSB opens the device that the address names.
func openUSB(a Address) (Transport, error) {
	nodes, err := usbNodes()
	if err != nil {
		return nil, err
	}
	for node, have := range nodes {
		if have.Vendor == a.Vendor && have.Product == a.Product && (a.SerialNo == "" ||
			a.SerialNo == have.SerialNo) {
			return openNode(node)
		}
	}
	return nil, fmt.Errorf("no such USB device is plugged in")
}

func openNode(node string) (Transport, error) {
	f, err := os.OpenFile(node, os.O_RDWR, 0)
	if err != nil {
		return nil, err
	}
	fd := int(f.Fd())
	if err := unix.IoctlSetPointerInt(fd, usbSetTimeout, usbPatience); err != nil {
		f.Close()
		return nil, fmt.Errorf("%s: %w", node, err)
	}
	// What an earlier program left unread is not an answer to us.
	if err := unix.IoctlSetInt(fd, usbClear, 0); err != nil {
		f.Close()
		return nil, fmt.Errorf("%s: %w", node, err)
	}
	return newUSBDevice(f, func() { _ = unix.IoctlSetInt(fd, usbCancel, 0) }), nil
}

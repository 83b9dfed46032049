package meter

import (
	"fmt"
	"net"
	"strconv"
	"strings"
)

// Interface is the kind of connection that an address names.
type Interface uint8

// The kinds of connection.
const (
	Socket Interface = iota // SCPI as lines over TCP
	Serial                  // a serial port
	USB                     // a USB test-and-measurement device
)

// Address names an instrument by its connection, in the trade's resource form.
type Address struct {
	Interface Interface
	Host      string // Socket: name or address
	Port      uint16 // Socket
	Device    string // Serial: the port's name, as /dev/ttyUSB0 or COM3
	Vendor    uint16 // USB
	Product   uint16 // USB
	SerialNo  string // USB: the device's serial number; "" is any
}

// SCPIPort is the customary port of SCPI over a raw socket.
const SCPIPort = 5025

// forms are the addresses that are read, for messages.
const forms = "TCPIP0::host::5025::SOCKET, ASRL/dev/ttyUSB0::INSTR or USB0::0x1234::0x5678::serial::INSTR"

// mostAddress is the longest address that is read, in bytes.
const mostAddress = 300

// ParseAddress reads an address in resource form. Letters of its key words may
// be small or capital. An error is one line.
func ParseAddress(text string) (Address, error) {
	text = strings.TrimSpace(text)
	if len(text) > mostAddress {
		return Address{}, fmt.Errorf("address is longer than %d characters", mostAddress)
	}
	for _, r := range text {
		if r < ' ' || r > '~' {
			return Address{}, fmt.Errorf("address %q holds %q: write it as %s", text, r, forms)
		}
	}
	a, err := parseAddress(text)
	if err != nil {
		return Address{}, fmt.Errorf("address %q %w", text, err)
	}
	return a, nil
}

func parseAddress(text string) (Address, error) {
	parts := splitAddress(text)
	kind, upper := strings.ToUpper(parts[len(parts)-1]), strings.ToUpper(parts[0])
	switch {
	case strings.Count(text, "[") != strings.Count(text, "]"):
		return Address{}, fmt.Errorf("has a bracket that is not closed")
	case len(parts) < 2:
		return Address{}, fmt.Errorf("is no resource: write it as %s", forms)
	case boardOf(upper, "TCPIP"):
		return socketAddress(parts[1:len(parts)-1], kind)
	case strings.HasPrefix(upper, "ASRL"):
		return serialAddress(parts[0][len("ASRL"):], parts[1:], kind)
	case boardOf(upper, "USB"):
		return usbAddress(parts[1:len(parts)-1], kind)
	}
	return Address{}, fmt.Errorf("begins with none of TCPIP, ASRL and USB: write it as %s", forms)
}

// splitAddress splits at "::", but not within square brackets, which hold an
// address of IP version 6.
func splitAddress(text string) (parts []string) {
	begin, depth := 0, 0
	for i := 0; i < len(text); i++ {
		switch {
		case text[i] == '[':
			depth++
		case text[i] == ']':
			depth--
		case depth == 0 && strings.HasPrefix(text[i:], "::"):
			parts = append(parts, text[begin:i])
			begin = i + 2
			i++
		}
	}
	return append(parts, text[begin:])
}

// boardOf tells whether a word is the name with an optional board number.
func boardOf(word, name string) bool {
	digits, has := strings.CutPrefix(word, name)
	return has && len(digits) <= 3 && strings.Trim(digits, "0123456789") == ""
}

func socketAddress(middle []string, kind string) (Address, error) {
	if kind != "SOCKET" {
		return Address{}, fmt.Errorf("is not a raw socket: only TCPIP0::host::%d::SOCKET is spoken", SCPIPort)
	}
	if len(middle) != 2 {
		return Address{}, fmt.Errorf("needs a host and a port, as TCPIP0::host::%d::SOCKET", SCPIPort)
	}
	host := middle[0]
	if inner, bracketed := strings.CutPrefix(host, "["); bracketed {
		inner, closed := strings.CutSuffix(inner, "]")
		if !closed || net.ParseIP(strings.SplitN(inner, "%", 2)[0]) == nil {
			return Address{}, fmt.Errorf("has %q for a host, which is no address in brackets", host)
		}
		host = inner
	} else if strings.Trim(host, hostLetters) != "" || strings.Trim(host, "-.") == "" {
		return Address{}, fmt.Errorf("has %q for a host, which is no name and no IP address", host)
	}
	port, err := strconv.ParseUint(middle[1], 10, 16)
	if err != nil || port == 0 {
		return Address{}, fmt.Errorf("has %q for a port: a whole number from 1 to 65535", middle[1])
	}
	return Address{Interface: Socket, Host: host, Port: uint16(port)}, nil
}

const hostLetters = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-._"

func serialAddress(device string, rest []string, kind string) (Address, error) {
	switch {
	case kind != "INSTR" || len(rest) != 1:
		return Address{}, fmt.Errorf("of a serial port ends in ::INSTR, as ASRL/dev/ttyUSB0::INSTR")
	case device == "":
		return Address{}, fmt.Errorf("names no serial port, as ASRL/dev/ttyUSB0::INSTR does")
	case strings.ContainsAny(device, "[]"):
		return Address{}, fmt.Errorf("has %q for a serial port", device)
	case strings.Trim(device, "0123456789") == "":
		device = "COM" + device
	}
	return Address{Interface: Serial, Device: device}, nil
}

func usbAddress(middle []string, kind string) (Address, error) {
	if kind != "INSTR" {
		return Address{}, fmt.Errorf("of a USB device ends in ::INSTR")
	}
	if len(middle) == 4 && strings.Trim(middle[3], "0123456789") == "" {
		middle = middle[:3] // the interface's number
	}
	if len(middle) != 2 && len(middle) != 3 {
		return Address{},
			fmt.Errorf("needs vendor, product and serial number, as USB0::0x1234::0x5678::serial::INSTR")
	}
	a := Address{Interface: USB}
	for i, at := range []*uint16{&a.Vendor, &a.Product} {
		n, err := strconv.ParseUint(middle[i], 0, 16)
		if err != nil {
			return Address{}, fmt.Errorf("has %q for a vendor or product number: as 0x1234", middle[i])
		}
		*at = uint16(n)
	}
	if len(middle) == 3 {
		a.SerialNo = middle[2]
	}
	if strings.ContainsAny(a.SerialNo, "[]:") {
		return Address{}, fmt.Errorf("has %q for a serial number", a.SerialNo)
	}
	return a, nil
}

// String gives the address in resource form, which ParseAddress reads.
func (a Address) String() string {
	switch a.Interface {
	case Serial:
		device := a.Device
		if n, com := strings.CutPrefix(device, "COM"); com && n != "" && strings.Trim(n, "0123456789") == "" {
			device = n
		}
		return "ASRL" + device + "::INSTR"
	case USB:
		text := fmt.Sprintf("USB0::0x%04X::0x%04X", a.Vendor, a.Product)
		if a.SerialNo != "" {
			text += "::" + a.SerialNo
		}
		return text + "::INSTR"
	}
	host := a.Host
	if strings.Contains(host, ":") {
		host = "[" + host + "]"
	}
	return fmt.Sprintf("TCPIP0::%s::%d::SOCKET", host, a.Port)
}

package meter

import (
	"strings"
	"testing"
)

func TestParseAddress(t *testing.T) {
	for text, want := range map[string]Address{
		"TCPIP0::bench-meter.local::5025::SOCKET": {Interface: Socket, Host: "bench-meter.local", Port: 5025},
		"tcpip::192.0.2.7::5025::socket":          {Interface: Socket, Host: "192.0.2.7", Port: 5025},
		"TCPIP1::[fe80::1]::5024::SOCKET":         {Interface: Socket, Host: "fe80::1", Port: 5024},
		"ASRL/dev/ttyUSB0::INSTR":                 {Interface: Serial, Device: "/dev/ttyUSB0"},
		"ASRL3::INSTR":                            {Interface: Serial, Device: "COM3"},
		"USB0::0x1234::0xABCD::SN 1::INSTR": {Interface: USB, Vendor: 0x1234, Product: 0xabcd,
			SerialNo: "SN 1"},
		"USB::0x1234::0xABCD::SN1::INSTR": {Interface: USB, Vendor: 0x1234, Product: 0xabcd,
			SerialNo: "SN1"},
		"USB0::4660::43981::SN1::0::INSTR": {Interface: USB, Vendor: 0x1234, Product: 0xabcd,
			SerialNo: "SN1"},
		"USB0::0x1234::0xABCD::INSTR": {Interface: USB, Vendor: 0x1234, Product: 0xabcd},
	} {
		got, err := ParseAddress(text)
		if (err != nil) != (want == Address{}) || got != want {
			t.Errorf("%s: got %+v, %v, want %+v", text, got, err, want)
		}
		if again, err2 := ParseAddress(got.String()); err == nil && (err2 != nil || again != got) {
			t.Errorf("%s: printed as %s, which reads as %+v, %v", text, got, again, err2)
		}
	}
}

func TestAddressErrors(t *testing.T) {
	for text, want := range map[string]string{
		"":                               "is no resource",
		"192.0.2.7:5025":                 "is no resource",
		"GPIB0::22::INSTR":               "none of TCPIP, ASRL and USB",
		"TCPIP0::host::inst0::INSTR":     "not a raw socket",
		"TCPIP0::host::SOCKET":           "needs a host and a port",
		"TCPIP0::host::0::SOCKET":        `"0" for a port`,
		"TCPIP0::host::65536::SOCKET":    `"65536" for a port`,
		"TCPIP0::ho/st::5025::SOCKET":    `"ho/st" for a host`,
		"TCPIP0::[fe80::1::5025::SOCKET": "a bracket that is not closed",
		"ASRL::INSTR":                    "no serial port",
		"ASRL/dev/ttyUSB0":               "is no resource",
		"ASRL/dev/ttyUSB0::SOCKET":       "ends in ::INSTR",
		"USB0::0x1234::INSTR":            "needs vendor, product",
		"USB0::meter::0x1::INSTR":        `"meter" for a vendor`,
		"TCPIP0::a\nb::5025::SOCKET":     "holds",
		"TCPIP0::a b::5025::SOCKET":      `"a b" for a host`,
		strings.Repeat("x", 400):         "longer than",
	} {
		_, err := ParseAddress(text)
		if err == nil || !strings.Contains(err.Error(), want) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%q: got %v, want one line with %q", text, err, want)
		}
	}
}

// FuzzAddress: what is read is printed and read back as the same; an error is
// one line.
func FuzzAddress(f *testing.F) {
	for _, s := range []string{"TCPIP0::host::5025::SOCKET", "ASRL/dev/ttyUSB0::INSTR", "ASRL3::INSTR",
		"USB0::0x1234::0x5678::A1::INSTR", "TCPIP::[::1]::1::SOCKET", "USB::1::2::INSTR", "::", "ASRL[::]::INSTR"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		a, err := ParseAddress(text)
		if err != nil {
			if strings.ContainsAny(err.Error(), "\r\n") {
				t.Fatalf("%q: the error has several lines: %q", text, err)
			}
			return
		}
		again, err := ParseAddress(a.String())
		if err != nil || again != a {
			t.Fatalf("%q: %+v prints as %s, which reads as %+v, %v", text, a, a, again, err)
		}
	})
}

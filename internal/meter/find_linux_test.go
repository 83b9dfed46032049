package meter

import (
	"context"
	"io"
	"log"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"github.com/hashicorp/mdns"
)

// inNamespace is set in the process that has a network of its own.
const inNamespace = "OHMWARD_TEST_NAMESPACE"

// TestFindOnNetwork announces instruments in a network namespace, which holds
// nothing else, and looks for them there.
func TestFindOnNetwork(t *testing.T) {
	if os.Getenv(inNamespace) == "" {
		test, err := os.Executable()
		if err != nil {
			t.Fatal(err)
		}
		if err := exec.Command("unshare", "-rn", "ip", "link").Run(); err != nil {
			t.Skipf("no network namespace can be made here: %v", err)
		}
		c := exec.Command("unshare", "-rn", "sh", "-c", `ip link set lo up multicast on &&
			ip addr add 192.0.2.1/24 dev lo && ip route add 224.0.0.0/4 dev lo src 192.0.2.1 &&
			exec "$0" -test.run 'TestFindOnNetwork$' -test.v`, test)
		c.Env = append(os.Environ(), inNamespace+"=1")
		if out, err := c.CombinedOutput(); err != nil {
			t.Errorf("%v\n%s", err, out)
		}
		return
	}
	iface, err := net.InterfaceByName("lo")
	if err != nil {
		t.Fatal(err)
	}
	announce := func(name, service, host string, port int, ip string) {
		zone, err := mdns.NewMDNSService(name, service, "local.", host, port, []net.IP{net.ParseIP(ip)},
			[]string{"v=1"})
		if err != nil {
			t.Fatal(err)
		}
		s, err := mdns.NewServer(&mdns.Config{Zone: zone, Iface: iface, Logger: log.New(io.Discard, "", 0)})
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { s.Shutdown() })
	}
	announce("Bench Meter", serviceRaw, "meter.local.", 5555, "192.0.2.7")
	announce("Bench Meter", serviceLXI, "meter.local.", 80, "192.0.2.7")
	announce("Other", serviceLXI, "other.local.", 80, "192.0.2.8")
	announce("Printer", "_ipp._tcp", "printer.local.", 631, "192.0.2.9")
	var found []Found
	for range 20 { // one may be lost on the way
		if found, _ = findNear(context.Background(), time.Second); len(found) == 2 {
			break
		}
	}
	want := []Found{
		{Address: Address{Interface: Socket, Host: "192.0.2.7", Port: 5555}, Name: "Bench Meter"},
		{Address: Address{Interface: Socket, Host: "192.0.2.8", Port: SCPIPort}, Name: "Other", Guessed: true},
	}
	if len(found) != 2 || found[0] != want[0] || found[1] != want[1] {
		t.Errorf("got %+v, want %+v", found, want)
	}
}

// The devices are read from the system's own listing.
func TestUSBNodes(t *testing.T) {
	dir := t.TempDir()
	device := filepath.Join(dir, "devices", "1-2")
	class := filepath.Join(dir, "class")
	for _, folder := range []string{filepath.Join(device, "1-2:1.0"), filepath.Join(class, "usbtmc0"),
		filepath.Join(class, "usbtmc1")} {
		if err := os.MkdirAll(folder, 0o755); err != nil {
			t.Fatal(err)
		}
	}
	for name, text := range map[string]string{"idVendor": "1234\n", "idProduct": "abcd\n", "serial": "S 17\n"} {
		if err := os.WriteFile(filepath.Join(device, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.Symlink(filepath.Join(device, "1-2:1.0"), filepath.Join(class, "usbtmc0",
		"device")); err != nil {
		t.Fatal(err)
	}
	got, err := usbNodesIn(class)
	want := Address{Interface: USB, Vendor: 0x1234, Product: 0xabcd, SerialNo: "S 17"}
	if err != nil || len(got) != 1 || got["/dev/usbtmc0"] != want {
		t.Errorf("got %+v, %v, want /dev/usbtmc0 as %+v", got, err, want)
	}
}

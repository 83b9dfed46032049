package meter

import (
	"cmp"
	"context"
	"fmt"
	"io"
	"log"
	"maps"
	"net"
	"slices"
	"strings"
	"sync"
	"time"

	"github.com/hashicorp/mdns"
)

// Found is an instrument that may be there: what a port, a device or the
// network shows of it, before anything was said to it.
type Found struct {
	Address Address
	Name    string // as it announces itself, or the port's
	Guessed bool   // the port is the customary one: it announces itself without saying which
	Known   bool   // it answered before, and is not heard of now
}

// Find looks for instruments: serial ports, USB devices and, for as long as
// wait, announcements on the local network; last, what answered before. Nothing is
// sent to an instrument.
// What cannot be looked at is in problems, one line each.
func Find(ctx context.Context, wait time.Duration) (found []Found, problems []string) {
	ports, err := serialPorts()
	if err != nil {
		problems = append(problems, fmt.Sprintf("serial ports: %v", err))
	}
	slices.Sort(ports)
	for _, p := range ports {
		found = append(found, Found{Address: Address{Interface: Serial, Device: p}, Name: p})
	}
	nodes, err := usbNodes()
	if err != nil {
		problems = append(problems, fmt.Sprintf("USB devices: %v", err))
	}
	for _, node := range slices.Sorted(maps.Keys(nodes)) {
		found = append(found, Found{Address: nodes[node], Name: node})
	}
	near, troubles := findNear(ctx, wait)
	found = append(found, near...)
	for _, k := range Known("") {
		if !slices.ContainsFunc(found, func(f Found) bool { return f.Address == k.Address }) {
			found = append(found, k)
		}
	}
	return found, append(problems, troubles...)
}

// The services under which instruments announce themselves: a raw socket with
// its port, and the page of an instrument that may have one.
const (
	serviceRaw = "_scpi-raw._tcp"
	serviceLXI = "_lxi._tcp"
)

// findNear asks on every interface of this machine at once.
func findNear(ctx context.Context, wait time.Duration) (found []Found, problems []string) {
	interfaces, err := net.Interfaces()
	if err != nil {
		return nil, []string{fmt.Sprintf("the network: %v", err)}
	}
	var mu sync.Mutex
	var all sync.WaitGroup
	byHost := map[string]Found{}
	for _, i := range interfaces {
		if i.Flags&net.FlagUp == 0 || i.Flags&net.FlagMulticast == 0 || !hasIPv4(i) {
			continue
		}
		for _, service := range []string{serviceRaw, serviceLXI} {
			all.Go(func() {
				entries, err := announced(ctx, i, service, wait)
				mu.Lock()
				defer mu.Unlock()
				if err != nil && ctx.Err() == nil {
					problems = append(problems, fmt.Sprintf("the network at %s: %v", i.Name, err))
				}
				for _, e := range entries {
					merge(byHost, e, service)
				}
			})
		}
	}
	all.Wait()
	found = slices.SortedFunc(maps.Values(byHost), func(a, b Found) int {
		return cmp.Compare(a.Address.String(), b.Address.String())
	})
	slices.Sort(problems)
	return found, slices.Compact(problems)
}

func hasIPv4(i net.Interface) bool {
	addresses, err := i.Addrs()
	return err == nil && slices.ContainsFunc(addresses, func(a net.Addr) bool {
		n, is := a.(*net.IPNet)
		return is && n.IP.To4() != nil
	})
}

// announced asks for one service on one interface.
func announced(ctx context.Context, i net.Interface, service string,
	wait time.Duration) ([]*mdns.ServiceEntry, error) {
	entries := make(chan *mdns.ServiceEntry, 256)
	err := mdns.QueryContext(ctx, &mdns.QueryParam{Service: service, Domain: "local", Timeout: wait,
		Interface: &i,
		Entries:   entries, DisableIPv6: true, Logger: log.New(io.Discard, "", 0)})
	close(entries)
	var list []*mdns.ServiceEntry
	for e := range entries {
		if strings.Contains(e.Name, "."+service+".") { // others are heard too
			list = append(list, e)
		}
	}
	return list, err
}

// merge adds an announcement. A raw socket's own port is better than a guess.
func merge(byHost map[string]Found, e *mdns.ServiceEntry, service string) {
	name, _, _ := strings.Cut(e.Name, "."+service+".")
	f := Found{Name: strings.ReplaceAll(name, `\`, ""), Guessed: service != serviceRaw,
		Address: Address{Interface: Socket, Port: uint16(e.Port)}}
	switch {
	case e.AddrV4 != nil:
		f.Address.Host = e.AddrV4.String()
	case e.AddrV6IPAddr != nil:
		f.Address.Host = e.AddrV6IPAddr.String()
	default:
		f.Address.Host = strings.TrimSuffix(e.Host, ".")
	}
	if f.Guessed {
		f.Address.Port = SCPIPort
	}
	if had, is := byHost[f.Address.Host]; f.Address.Port == 0 || is && (f.Guessed || !had.Guessed) {
		return
	}
	byHost[f.Address.Host] = f
}

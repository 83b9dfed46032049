package ipcd356

import (
	"strings"
	"testing"
)

// Long names stand behind aliases however the number is set apart, through
// other aliases too, and wherever in the file they are told.
func TestAliases(t *testing.T) {
	record := func(net string) string {
		return "317" + net + strings.Repeat(" ", 14-len(net)) + "   VIA        MD0300PA00X+001000Y+002000\n"
	}
	for name, c := range map[string]struct{ before, net, after, want string }{
		"plain":              {"P  NNAME1  A_LONG_NAME\n", "NNAME1", "", "A_LONG_NAME"},
		"one blank":          {"P NNAME1 A_LONG_NAME\n", "NNAME1", "", "A_LONG_NAME"},
		"number apart":       {"P  NNAME 1  A_LONG_NAME\n", "NNAME1", "", "A_LONG_NAME"},
		"zeros before":       {"P  NNAME00001  A_LONG_NAME\n", "NNAME1", "", "A_LONG_NAME"},
		"a sign between":     {"P  NNAME_1  A_LONG_NAME\n", "NNAME1", "", "A_LONG_NAME"},
		"a sign in the data": {"P  NNAME1  A_LONG_NAME\n", "NNAME-1", "", "A_LONG_NAME"},
		"equals":             {"P  NNAME1=A_LONG_NAME\n", "NNAME1", "", "A_LONG_NAME"},
		"equals with blanks": {"P  NNAME1 = A_LONG_NAME\n", "NNAME1", "", "A_LONG_NAME"},
		"lower case":         {"P  nname1  a_long_name\n", "nname1", "", "a_long_name"},
		"blanks within":      {"P  NNAME1  A LONG NAME \n", "NNAME1", "", "A LONG NAME"},
		"told below":         {"", "NNAME1", "P  NNAME1  A_LONG_NAME\n", "A_LONG_NAME"},
		"a chain":            {"P  NNAME1  NNAME2\nP  NNAME2  nname 3\nP  NNAME3  A_LONG_NAME\n", "NNAME1", "", "A_LONG_NAME"},
		"a chain to nowhere": {"P  NNAME1  NNAME2\n", "NNAME1", "", "NNAME2"},
		"a circle":           {"P  NNAME1  NNAME2\nP  NNAME2  NNAME1\n", "NNAME1", "", "NNAME1"},
		"no alias":           {"P  NNAME1  A_LONG_NAME\n", "NNAMED", "", "NNAMED"},
		"an equals sign":     {"P  NNAME1  A=B\n", "NNAME1", "", "A=B"},
	} {
		_, r := one(t, "P  UNITS CUST 1\n"+c.before+record(c.net)+c.after+"999\n")
		if r.Net != c.want {
			t.Errorf("%s: %q, want %q", name, r.Net, c.want)
		}
	}
}

package placement

import (
	"regexp"
	"slices"
	"strings"
	"unicode"
)

// Role is what a column tells.
type Role uint8

// The roles of columns.
const (
	Unused Role = iota
	RoleRef
	RoleValue
	RolePackage
	RoleX
	RoleY
	RoleRotation
	RoleSide
	RoleMirror // yes: on the bottom
	RoleQuantity
	RoleNotFitted
	RoleFitted
	RoleOther // known from parts tables, but of no use here
	roles
)

// String gives the role in words.
func (r Role) String() string {
	return [...]string{"unused", "reference", "value", "package", "x", "y", "rotation", "side", "mirror",
		"quantity", "not fitted", "fitted", "other"}[r]
}

// names are the customary titles without blanks and signs, in lower case, the
// surest first (common practice, no source). Of two columns with one role the
// surer title wins.
var names = map[Role]string{
	RoleRef: `designator designators refdes refdesignator refdesignators referencedesignator
	referencedesignators reference references ref refs refid refname partreference partreferences
	partdesignator componentdesignator componentreference componentref circuitreference
	schematicreference referenceid referenz referenzen bauteilbezeichnung bauteilname bezeichner repere
	reperes designateur referencia referencias designador designadores riferimento riferimenti sigla
	referentie referencja oznaczenie beteckning oznaceni 位号 标号 元件位号 リファレンス 部品記号 позиция обозначение
	bauteil bauteile componentname partid parts part component components name`,
	RoleValue: `value values val comment comments partvalue componentvalue nominal wert bauteilwert
	valeur valor valore waarde wartosc hodnota varde arvo 值 数值 参数 型号 值 値 定数 номинал значение designation
	description partdescription desc beschreibung descripcion descrizione`,
	RolePackage: `package footprint footprints pattern pcbfootprint pcbdecal partdecal decal
	componentpattern landpattern packagename packagetype footprintname pkg packagereference case
	casesize casecode jedectype geometry symname gehause bauform boitier empreinte encapsulado huella
	contenitore impronta obudowa pouzdro 封装 パッケージ корпус`,
	RoleRotation: `rotation rot angle orientation orient theta rotate rotationdegrees rotationangle
	rotationdeg rotdeg deg winkel drehung drehwinkel rotacion angulo rotazione angolo rotacao rotacja
	kat 旋转 旋转角度 角度 回転 угол поворот`,
	RoleSide: `side layer tb boardside pcbside componentside placementside placeside mountside
	mountingside topbottom boardlayer placementlayer layername layerside seite lage bestuckungsseite
	platinenseite face cote lado cara capa lato camada zijde strona strana sida 层 面 板层 层面 実装面 搭載面 слой
	сторона`,
	RoleMirror: `mirror mirrored flip flipped gespiegelt spiegeln miroir espejo`,
	RoleQuantity: `quantity qty count qnty quant amount pcs menge anzahl stuck stuckzahl quantite
	cantidad quantita quantidade aantal ilosc pocet antal 数量 员数 個数 количество`,
	RoleNotFitted: `dnp dnf dni dns dnm donotpopulate donotfit donotplace donotinstall donotstuff
	donotmount notfitted notplaced notpopulated notmounted nostuff nopop excludefromboard excludefrombom
	nichtbestuckt nichtbestucken`,
	RoleFitted: `fitted populate populated stuffed placed fit mounted assemble assembled installed
	fitstatus population bomstatus bestuckt bestucken bestuckung monte montado montato`,
	RoleOther: `manufacturer mfr mfg mpn manufacturerpartnumber manufacturerpart manufacturerpn
	mfrpartnumber mfrpart mfrpn mfgpartnumber partnumber supplier supplierpartnumber vendor
	vendorpartnumber distributor datasheet item itemnumber id notes tolerance voltage price unitprice
	library libref libraryreference device type technology smd`,
}

// insteadOfValue are titles of columns that tell the value where none is
// titled so, the best first: "Part" beside a "Reference" and so on.
var insteadOfValue = strings.Fields("part component name device mpn manufacturerpartnumber " +
	"manufacturerpart manufacturerpn mfrpartnumber mfrpart mfrpn mfgpartnumber partnumber")

// places are the titles of coordinates, with % for the axis.
var places = strings.Fields(`mid% %mid center% %center centre% %centre centroid% %centroid c% pos% %pos
	position% %position % %axis koordinate% posicion% posizione% 坐标% %坐标 中心% %中心 座標% %座標 location%
	%location loc% %loc coord% %coord coordinate% %coordinate %coordinates component% %component part%
	place% placement% sym% %sym body% ref% %ref origin% %origin pad% %pad`)

// meaning is a role and how sure a title tells it: 0 is the surest.
type meaning struct {
	role Role
	rank int
}

var meanings = func() map[string]meaning {
	out := map[string]meaning{}
	for role := Role(1); role < roles; role++ {
		for i, n := range strings.Fields(names[role]) {
			if _, ok := out[n]; !ok {
				out[n] = meaning{role, i}
			}
		}
	}
	for i, p := range places {
		out[strings.Replace(p, "%", "x", 1)] = meaning{RoleX, i}
		out[strings.Replace(p, "%", "y", 1)] = meaning{RoleY, i}
	}
	return out
}()

var bracket = regexp.MustCompile(`[(\[{]([^)\]}]*)[)\]}]?`)

// understand tells what a title means and the unit in it (nanometres, 0: none).
func understand(title string) (m meaning, unit float64) {
	if len(title) > 80 {
		return meaning{}, 0
	}
	title = strings.ToLower(title)
	if in := bracket.FindStringSubmatch(title); in != nil {
		unit = unitOf(in[1])
		title = bracket.ReplaceAllString(title, " ")
	}
	plain := unaccented.Replace(letters(title))
	if m, ok := meanings[plain]; ok {
		return m, unit
	}
	for _, u := range unitEndings {
		if rest, ok := strings.CutSuffix(plain, u); ok {
			if m := meanings[rest]; m.role == RoleX || m.role == RoleY {
				return m, unitOf(u)
			}
		}
	}
	return meaning{}, unit
}

// unaccented writes letters without their accents, as titles are listed.
var unaccented = strings.NewReplacer("ä", "a", "á", "a", "à", "a", "â", "a", "ã", "a", "å", "a", "ą",
	"a", "é", "e", "è", "e", "ê", "e", "ë", "e", "ę", "e", "ě", "e",
	"í", "i", "î", "i", "ï", "i", "ö", "o", "ó", "o", "ô", "o", "õ", "o", "ü", "u", "ú", "u", "û", "u",
	"ů", "u", "ç", "c", "ć", "c", "č", "c", "ñ", "n", "ń", "n",
	"ś", "s", "š", "s", "ł", "l", "ý", "y", "ž", "z", "ż", "z", "ř", "r", "ß", "ss")

// letters drops all but letters and digits.
func letters(s string) string {
	return strings.Map(func(c rune) rune {
		if unicode.IsLetter(c) || unicode.IsDigit(c) {
			return c
		}
		return -1
	}, s)
}

// heading is a line of titles as understood.
type heading struct {
	titles []string
	column [roles]int // of each role; -1: none
	unit   [roles]float64
	known  int  // columns with a role
	weak   bool // the title of the references is a common word
}

func readHeading(cells []string) heading {
	h := heading{titles: cells}
	for r := range h.column {
		h.column[r] = -1
	}
	if len(cells) > maxColumns {
		return h
	}
	all, units := make([]meaning, len(cells)), make([]float64, len(cells))
	for i, c := range cells {
		m, unit := understand(c)
		all[i], units[i] = m, unit
		if m.role == Unused {
			continue
		}
		h.known++
		if was := h.column[m.role]; was < 0 || m.rank < all[was].rank {
			h.column[m.role], h.unit[m.role] = i, unit
		}
	}
	if ref := h.column[RoleRef]; ref >= 0 {
		h.weak = all[ref].rank >= meanings["partid"].rank
	}
	h.pair(all, units)
	if h.has(RoleRef) && !h.has(RoleValue) {
		h.otherValue()
	}
	return h
}

// otherValue takes a column for the value whose title says less.
func (h *heading) otherValue() {
	for _, want := range insteadOfValue {
		for i, t := range h.titles {
			if letters(strings.ToLower(t)) == want && i != h.column[RoleRef] {
				h.column[RoleValue] = i
				return
			}
		}
	}
}

// pair takes the surest title of a coordinate that both axes have.
func (h *heading) pair(all []meaning, units []float64) {
	best := len(places)
	for i, a := range all {
		if a.role != RoleX || a.rank >= best {
			continue
		}
		j := slices.Index(all, meaning{RoleY, a.rank})
		if j < 0 {
			continue
		}
		best = a.rank
		h.column[RoleX], h.column[RoleY] = i, j
		h.unit[RoleX], h.unit[RoleY] = units[i], units[j]
	}
}

func (h *heading) has(r Role) bool { return h.column[r] >= 0 }

// places tells whether both coordinates have a column.
func (h *heading) places() bool { return h.has(RoleX) && h.has(RoleY) }

// parts tells whether the titles can be those of a parts table.
func (h *heading) parts() bool {
	if !h.has(RoleRef) {
		return false
	}
	if h.weak {
		return h.places() || h.known >= 3 || h.known == len(h.titles)
	}
	return h.places() || h.has(RoleValue) || h.has(RolePackage) || h.known >= 3
}

package main

import "strings"

// glyphs are the strokes of the legend's letters on a field 5 wide (0–4) and
// 7 high (0–6): chains of points "xy", separated by "/".
var glyphs = map[rune]string{
	'A': "0004264440/0242", 'B': "00063645443303/334241300000", 'C': "4536160501103041",
	'D': "00062645412000", 'E': "46060040/0333", 'F': "460600/0333", 'G': "45361605011030414323",
	'H': "0006/4046/0343", 'I': "1636/2620/1030", 'J': "4641301001", 'K': "0006/460340",
	'L': "060040", 'M': "0006234640", 'N': "00064046", 'O': "100105163645413010",
	'P': "00063645443303", 'Q': "100105163645413010/2240", 'R': "00063645443303/2340",
	'S': "453616050413334241301001", 'T': "0646/2620", 'U': "060110304146", 'V': "062046",
	'W': "0610233046", 'X': "0046/0640", 'Y': "062346/2320", 'Z': "06460040",
	'0': "100105163645413010/0145", '1': "152620/1030", '2': "05163645440040",
	'3': "05163645443313/334241301001", '4': "360242/3630", '5': "460603334241301001",
	'6': "36160501103041423303", '7': "064620", '8': "13040516364544331302011030414233",
	'9': "43130405163645413010", '-': "1333", '+': "0343/2125", '.': "2021", ' ': "",
}

// Text sizes in micrometres: cell is the step of the glyphs' field.
const (
	textCell   = 110
	textPitch  = 6 * textCell
	textHeight = 6 * textCell
	textStroke = 120
)

// textWidth is the width of a line of text.
func textWidth(s string) int { return len(s)*textPitch - 2*textCell }

// textStrokes are the strokes of a line of text about its middle.
func textStrokes(s string, mid point) []shape {
	x, y := mid.x-textWidth(s)/2, mid.y-textHeight/2
	var out []shape
	for _, r := range strings.ToUpper(s) {
		for _, chain := range strings.Split(glyphs[r], "/") {
			for i := 2; i+1 < len(chain); i += 2 {
				out = append(out, capsule(glyphPoint(chain[i-2:], x, y), glyphPoint(chain[i:], x, y), textStroke))
			}
		}
		x += textPitch
	}
	return out
}

func glyphPoint(s string, x, y int) point {
	return point{x + int(s[0]-'0')*textCell, y + int(s[1]-'0')*textCell}
}

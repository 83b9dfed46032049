package gerber

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"ohmward/format/fault"
	"ohmward/format/internal/scan"
)

// expression evaluates a macro's arithmetic: + - x / with the customary
// precedence, parentheses, signs, and variables $n (0 where never set).
type expression struct {
	s     string
	at    int
	depth int
	vars  map[int]float64
}

var errDeep = fmt.Errorf("%w: parentheses nested deeper than %d", errTooLarge, maxDepth)

func evaluate(s string, vars map[int]float64) (float64, error) {
	e := expression{s: strings.ReplaceAll(s, " ", ""), vars: vars}
	if e.s == "" {
		return 0, nil
	}
	v, err := e.sum()
	if err == nil && e.at < len(e.s) {
		err = fmt.Errorf("unexpected %q", e.s[e.at:])
	}
	if err == nil && (math.IsInf(v, 0) || math.IsNaN(v)) {
		err = errors.New("result is not a number")
	}
	if err != nil {
		return 0, fmt.Errorf("expression %q: %w", fault.Short(s), err)
	}
	return v, nil
}

func (e *expression) peek() byte {
	if e.at < len(e.s) {
		return e.s[e.at]
	}
	return 0
}

func (e *expression) sum() (float64, error) {
	v, err := e.product()
	for err == nil && (e.peek() == '+' || e.peek() == '-') {
		op := e.peek()
		e.at++
		var w float64
		if w, err = e.product(); op == '+' {
			v += w
		} else {
			v -= w
		}
	}
	return v, err
}

func (e *expression) product() (float64, error) {
	v, err := e.factor()
	for err == nil {
		op := e.peek()
		if op != 'x' && op != 'X' && op != '*' && op != '/' {
			break
		}
		e.at++
		var w float64
		if w, err = e.factor(); err != nil {
			break
		}
		if op != '/' {
			v *= w
		} else if w == 0 {
			err = errors.New("division by zero")
		} else {
			v /= w
		}
	}
	return v, err
}

func (e *expression) factor() (float64, error) {
	sign := 1.0
	for e.peek() == '-' || e.peek() == '+' {
		if e.peek() == '-' {
			sign = -sign
		}
		e.at++
	}
	switch c := e.peek(); {
	case c == '(':
		return e.group(sign)
	case c == '$':
		e.at++
		n, err := strconv.Atoi(e.run("0123456789"))
		if err != nil {
			return 0, errors.New("variable without number")
		}
		return sign * e.vars[n], nil
	default:
		v, ok := scan.Decimal(e.run("0123456789."))
		if !ok {
			return 0, errors.New("number expected")
		}
		return sign * v, nil
	}
}

func (e *expression) group(sign float64) (float64, error) {
	if e.depth++; e.depth > maxDepth {
		return 0, errDeep
	}
	e.at++
	v, err := e.sum()
	if err != nil {
		return 0, err
	}
	if e.peek() != ')' {
		return 0, errors.New("closing parenthesis missing")
	}
	e.at++
	e.depth--
	return sign * v, nil
}

// run takes the longest stretch made of the given characters.
func (e *expression) run(set string) string {
	from := e.at
	for e.at < len(e.s) && strings.IndexByte(set, e.s[e.at]) >= 0 {
		e.at++
	}
	return e.s[from:e.at]
}

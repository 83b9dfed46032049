package cli

import (
	"errors"
	"strings"

	"ohmward/internal/nearest"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// value is the pflag.Value of every flag that takes one.
type value struct {
	form string                  // placeholder, as "35um" or "FILE"
	text string                  // as given last
	take func(text string) error // parses the text and stores what it means
}

// String gives the text as it was typed.
func (v *value) String() string { return v.text }

// Type gives the placeholder, which help and completion show.
func (v *value) Type() string { return v.form }

// Set takes the next text; an error says what is wrong with it.
func (v *value) Set(text string) error {
	v.text = text
	return v.take(text)
}

// define adds a flag that takes a value. What it is about is one or two lines,
// with its unit and default.
func define(c *cobra.Command, name, form, about string, take func(string) error) {
	c.Flags().Var(&value{form: form, take: take}, name, about)
}

// last stores the value that is given last.
func last[T any](at *T, parse func(string) (T, error)) func(string) error {
	return func(text string) (err error) {
		*at, err = parse(text)
		return err
	}
}

// given is last for a value that is nil until it is given.
func given[T any](at **T, parse func(string) (T, error)) func(string) error {
	return last(at, func(text string) (*T, error) {
		v, err := parse(text)
		return &v, err
	})
}

// each stores all the values that are given.
func each[T any](at *[]T, parse func(string) (T, error)) func(string) error {
	return last(at, func(text string) ([]T, error) {
		v, err := parse(text)
		return append(*at, v), err
	})
}

// flagError puts what pflag found wrong into our words. Help asked for before
// the mistake is shown all the same.
func flagError(c *cobra.Command, err error) error {
	if c.Flags().Changed("help") {
		return pflag.ErrHelp
	}
	switch e := err.(type) {
	case *pflag.NotExistError:
		if short := e.GetSpecifiedShortnames(); short != "" {
			return unknownFlag(c, "-", short)
		}
		return unknownFlag(c, "--", e.GetSpecifiedName())
	case *pflag.InvalidSyntaxError:
		return unknownFlag(c, "", e.GetSpecifiedFlag())
	case *pflag.ValueRequiredError:
		f := e.GetFlag()
		return misuse(helpHint(c), "--%s needs a value, as in --%s %s", f.Name, f.Name, f.Value.Type())
	case *pflag.InvalidValueError:
		if f := e.GetFlag(); f.NoOptDefVal != "" {
			return misuse(helpHint(c), "--%s takes no value", f.Name)
		}
		return misuse(helpHint(c), "--%s: %s", e.GetFlag().Name, errors.Unwrap(e))
	}
	return misuse(helpHint(c), "%s", err)
}

// unknownFlag names the flag that was probably meant.
func unknownFlag(c *cobra.Command, dashes, name string) error {
	name, _, _ = strings.Cut(name, "=")
	var names []string
	c.Flags().VisitAll(func(f *pflag.Flag) { names = append(names, f.Name) })
	hint := helpHint(c)
	if n, near := nearest.Name(strings.TrimLeft(name, "-"), names); near {
		hint = "did you mean --" + n
	}
	return misuse(hint, "%s has no flag %s%s", c.CommandPath(), dashes, name)
}

func helpHint(c *cobra.Command) string { return c.CommandPath() + " --help says more" }

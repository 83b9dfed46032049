package engine

import (
	"sync"

	"ohmward/internal/conduct"
	"ohmward/internal/locate"
)

// Predictions keeps what a case needs again and again while it grows: networks, and
// what readings in them are predicted as. Whoever holds the case may use it.
type Predictions struct {
	Networks []*network                           // as findings left the copper, one each
	Readings map[predictionKey]*PendingPrediction // by contacts and network
	Last     *locate.Posterior                    // of the case as it was weighed last
	Given    locate.Case                          // that case
}

// predictionKey is a reading's contacts in one network.
type predictionKey struct {
	in       *network
	at       conduct.Reading
	fourWire bool
}

// PendingPrediction is what a reading is predicted as, once that is computed.
type PendingPrediction struct {
	once    sync.Once
	compute func()
	reading locate.Reading
	err     error
}

// Get computes what nobody has computed yet, or waits for whoever does.
func (f *PendingPrediction) Get() (locate.Reading, error) {
	f.once.Do(f.compute)
	return f.reading, f.err
}

func NewPredictions() *Predictions {
	return &Predictions{Readings: map[predictionKey]*PendingPrediction{}}
}

// Predict turns contacts into a reading of a network. Its components are
// those of the whole network, an open part's being nothing.
func (s *Pair) Predict(n *network, c Contacts) (locate.Reading, error) {
	if s.Predictions == nil {
		return s.PredictUncached(n, c)
	}
	return s.Prefetch(n, c).Get()
}

// Prefetch looks a reading up.
func (s *Pair) Prefetch(n *network, c Contacts) *PendingPrediction {
	key := predictionKey{n, s.FourContacts(c), c.FourWire}
	f := s.Predictions.Readings[key]
	if f == nil {
		f = new(PendingPrediction)
		f.compute = func() { f.reading, f.err = s.PredictUncached(n, c) }
		s.Predictions.Readings[key] = f
	}
	return f
}

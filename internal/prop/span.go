package prop

// A Span is a range of pixels in data order of the plan, both ends included,
// from 0.
type Span struct{ First, Last int }

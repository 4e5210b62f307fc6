package prop

// A Span is a range of pixels in data order of the prop, from 0, both ends included.
type Span struct{ First, Last int }

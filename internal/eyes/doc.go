// Package eyes reads a camera's pictures of a prop into places and slots.
//
// A fixed camera looks on while the prop shows a sequence of looks: black, one
// look a slot in which every pixel lights that slot of its own, then code
// looks in which each pixel lights exactly one of its slots, its word. What
// arrives at a spot of the picture says which slot of the data lights there.
// From that follow count, order, direction, colour order, lost colours and any
// number of faults at once, without a list of faults.
//
// The way through: Table (table.go) gives the words, Sequence (looks.go) the
// frames and their time, Scene (scene.go) both as written beside kept
// pictures. Decode (decode.go) finds spots, reads their words and lays them on
// the planned places; see the head of each file. Refusal (refuse.go) is what
// it says when it cannot see.
//
// Units: camera pixels, counted from the upper left corner, the centre of the
// first one at 0, 0; light is linear, 0 to 1; data indices, places and slots
// count from 0 here, from 1 in files and text where they say so. No file
// or clock is touched: pictures come in as values, and all cores share the work.
package eyes

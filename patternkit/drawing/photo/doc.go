// Package photo reads photographs and takes the perspective out of them.
//
// A place in a photograph is given as programs that show pictures do, in
// pixels to the right and down from the upper left one, but with y up: Y runs
// from 0 at the top to minus the height. Whole numbers are middles of pixels.
package photo

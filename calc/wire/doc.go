// Package wire holds what is known of a wire from its size.
package wire

// Package report writes what preflight found as text for people and as JSON
// for programs. Its functions are pure writers: the same report gives the same
// bytes. All wording of the text report lives here.
package report

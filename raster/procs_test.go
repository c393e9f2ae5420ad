package raster

import "runtime"

// withProcs runs fn with n processors.
func withProcs(n int, fn func()) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(n))
	fn()
}

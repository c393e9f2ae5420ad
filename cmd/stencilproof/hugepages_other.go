//go:build !linux

package main

// onHugePages does nothing: other systems choose the size of a page themselves.
func onHugePages(int) {}

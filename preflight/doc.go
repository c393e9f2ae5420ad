// Package preflight judges measured artwork against a film: limits, verdicts,
// notes, and the report as data. Here pixels become millimetres. It prints and
// draws nothing; packages report and proof do.
package preflight

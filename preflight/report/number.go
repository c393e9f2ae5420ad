package report

import "strconv"

// plain writes a number with as many decimals as it has, and no more than six.
func plain(v float64) string {
	s := strconv.FormatFloat(v, 'f', 6, 64)
	for s[len(s)-1] == '0' {
		s = s[:len(s)-1]
	}
	if s[len(s)-1] == '.' {
		s = s[:len(s)-1]
	}
	return s
}

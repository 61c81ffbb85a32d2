package read

// moreOrLess says that an amount is to come on top of what there is, or off it:
// "100 g more beef", "cut the rice by 50 g".
func (s *slots) moreOrLess(string) string {
	by := s.saysAny("by") >= 0
	switch {
	case s.saysAny("more", "extra", "additional") >= 0, by && s.saysAny("increase", "raise", "up") >= 0:
		return "more"
	case s.saysAny("less", "fewer") >= 0, by && s.saysAny("reduce", "lower", "cut", "decrease", "down") >= 0:
		return "less"
	}
	return ""
}

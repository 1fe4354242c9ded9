package device

// photoSizes returns the widths and heights at which a photo of w × h is searched, the likeliest first: a code that
// fills a photo is found soonest in a small one, a small code in a large photo only in a large one. None is larger than
// the photo.
//
// Source: our choice. The largest, 3200 pixels, keeps a 4:3 photo below the 16.7 million pixels that phones allow a
// canvas (from memory).
func photoSizes(w, h int) [][2]int {
	var sizes [][2]int
	whole := false
	for _, side := range []int{1200, 2000, 3200, 600} {
		long := max(w, h)
		if long <= side {
			if whole {
				continue
			}
			whole = true
			side = long
		}
		sizes = append(sizes, [2]int{max(1, w*side/long), max(1, h*side/long)})
	}
	return sizes
}

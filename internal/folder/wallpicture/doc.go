// Package wallpicture keeps one picture beside the games, which the Wall may show
// in the breaks. What is kept was read as PNG or JPEG and written anew: nothing of
// the file that somebody chose is given out but its points, so neither where a
// photo was taken nor anything that hides in a file.
//
//	kept := wallpicture.At(filepath.Join(data, "wall-picture"))
//	err := kept.Keep(file)
package wallpicture

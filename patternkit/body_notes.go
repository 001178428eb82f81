package patternkit

type bodyNotes struct{}

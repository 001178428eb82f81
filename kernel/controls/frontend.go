package controls

// A Frontend is the notebook as a Panel sees it. Data is a bundle: MIME type
// to text or JSON value.
type Frontend interface {
	// Live reports whether something is there that controls can be moved in.
	Live() bool
	// Cell names the cell that runs, or ran last, and counts the runs of
	// cells: a cell that runs again keeps its name. named says that the front
	// end gave the name, so that an edited cell keeps it too.
	Cell() (name string, run int, named bool)
	// Bundle returns a value in every form that it has.
	Bundle(v any) map[string]any
	// Quick is Bundle without the forms that take long and that are not looked
	// at while things move.
	Quick(v any) map[string]any
	// Show shows data in the cell. With an id it can be shown again in the
	// same place, by update.
	Show(data map[string]any, id string, update bool)
	// Page shows data in the front end's pane for help, or in the cell where
	// there is none.
	Page(data map[string]any)
	// Clear empties the output of the running cell, at once or when the next
	// output comes.
	Clear(wait bool)
	// Client names the page, or other program, whose message is handled now;
	// empty where there is none.
	Client() string
	// Keep keeps what the running cell shows, for a display of it that changes
	// later: set says what is in its place by then. again shows the whole cell
	// once more, in the cell of the control whose message is handled now, and
	// reports whether it could.
	Keep(id string) (set func(data map[string]any), again func() bool)
	// Call runs f, which calls back into cells after their cell has ended. The
	// error says how a callback failed.
	Call(f func()) error
	// NewID returns a new id for a comm or a shown thing.
	NewID() string
	// OpenComm opens a comm to an object of the front end; receive gets what
	// comes back. Calls of receive and of Settle's functions never overlap.
	OpenComm(id, target string, data, metadata map[string]any, receive func(data map[string]any))
	SendComm(id string, data map[string]any)
	CloseComm(id string)
	// HandleTarget says what to do when the front end opens a comm to target.
	HandleTarget(target string, open func(id string, data map[string]any) (receive func(data map[string]any)))
	// OnCommsAsked calls do when a front end asks which comms to target are
	// open. It may be called while something else is handled.
	OnCommsAsked(do func(target string))
	// OnClosed calls do when the front end closes a comm.
	OnClosed(do func(id string))
	// OnSettled calls do after each cell and each burst of messages.
	OnSettled(do func())
	// OnRest calls do when nothing has moved for a moment.
	OnRest(do func())
	// Ask asks for a line of text.
	Ask(prompt string, password bool) (string, error)
}

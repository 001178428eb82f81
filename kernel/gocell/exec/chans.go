package exec

import (
	"go/types"
	"reflect"
	"unsafe"

	"golang.org/x/tools/go/ssa"
)

// chanType is a channel's memory type with both directions.
func (k *compiler) chanType(t types.Type) (elem *typeDesc, rt reflect.Type) {
	c, ok := t.Underlying().(*types.Chan)
	if !ok {
		k.refuse("%s is not a channel", t)
	}
	elem = k.desc(c.Elem())
	if elem.size >= 1<<16 {
		k.refuse("channel elements of %d bytes are too large", elem.size)
	}
	return elem, reflect.ChanOf(reflect.BothDir, elem.rt)
}

func (k *compiler) makeChan(in *ssa.MakeChan) op {
	elem, rt := k.chanType(in.Type())
	size, dst := k.readInt(in.Size.Type(), k.val(in.Size)), k.dst(in).off
	width := max(1, int64(elem.size))
	return func(fr *frame) {
		n := size(fr)
		if n < 0 || n > 1<<46/width {
			n = -1
			_ = make(chan struct{}, n)
		}
		fr.t.run.want(int(n * width))
		*objAt[unsafe.Pointer](fr, dst) = reflect.MakeChan(rt, int(n)).UnsafePointer()
	}
}

// chanAt is the channel in a slot.
func chanAt(rt reflect.Type, slot unsafe.Pointer) reflect.Value {
	return reflect.NewAt(rt, slot).Elem()
}

// wait blocks in a select that the stop of the run also ends.
func (fr *frame) wait(cases []reflect.SelectCase) (int, reflect.Value, bool) {
	r := fr.t.run
	for {
		all := append(cases[:len(cases):len(cases)], reflect.SelectCase{Dir: reflect.SelectRecv, Chan: reflect.ValueOf(r.done())})
		i, v, ok := reflect.Select(all)
		if i < len(cases) {
			return i, v, ok
		}
		fr.t.grace = 0
		fr.t.check()
	}
}

func (k *compiler) send(in *ssa.Send) op {
	elem, rt := k.chanType(in.Chan.Type())
	c, x := k.val(in.Chan), k.val(in.X)
	if f := fastChans[elem.rt]; f != nil {
		return f.send(c, x)
	}
	read := x.reader(elem)
	return func(fr *frame) {
		ch, v := chanAt(rt, c.at(fr)), read(fr)
		if !ch.IsNil() && ch.TrySend(v) {
			return
		}
		fr.wait([]reflect.SelectCase{{Dir: reflect.SelectSend, Chan: ch, Send: v}})
	}
}

func (k *compiler) receive(in *ssa.UnOp) op {
	elem, rt := k.chanType(in.X.Type())
	c := k.val(in.X)
	var dst, ok operand
	if in.CommaOk {
		dst, ok = k.tuple[in][0], k.tuple[in][1]
	} else {
		dst = k.dst(in)
	}
	if f := fastChans[elem.rt]; f != nil {
		return f.receive(c, dst, ok, in.CommaOk)
	}
	set, commaOk := elem.setter(), in.CommaOk
	return func(fr *frame) {
		ch := chanAt(rt, c.at(fr))
		var v reflect.Value
		var open bool
		if !ch.IsNil() {
			v, open = ch.TryRecv()
		}
		if !v.IsValid() {
			_, v, open = fr.wait([]reflect.SelectCase{{Dir: reflect.SelectRecv, Chan: ch}})
		}
		set(dst.at(fr), v)
		if commaOk {
			*at[bool](fr, ok.off) = open
		}
	}
}

// A fastChan has the operations of a channel type that is common in cells.
type fastChan struct {
	send    func(c, x operand) op
	receive func(c, dst, ok operand, commaOk bool) op
}

var fastChans = map[reflect.Type]*fastChan{
	reflect.TypeFor[int]():     fastChanOf[int](),
	reflect.TypeFor[float64](): fastChanOf[float64](),
	reflect.TypeFor[bool]():    fastChanOf[bool](),
	reflect.TypeFor[string]():  fastChanOf[string](),
}

func fastChanOf[T any]() *fastChan {
	return &fastChan{
		send: func(c, x operand) op {
			return func(fr *frame) {
				ch := *(*chan T)(c.at(fr))
				select {
				case ch <- *(*T)(x.at(fr)):
					return
				default:
				}
				for {
					select {
					case ch <- *(*T)(x.at(fr)):
						return
					case <-fr.t.run.done():
						fr.t.grace = 0
						fr.t.check()
					}
				}
			}
		},
		receive: func(c, dst, ok operand, commaOk bool) op {
			return func(fr *frame) {
				ch := *(*chan T)(c.at(fr))
				var v T
				var open bool
				select {
				case v, open = <-ch:
				default:
					for waiting := true; waiting; {
						select {
						case v, open = <-ch:
							waiting = false
						case <-fr.t.run.done():
							fr.t.grace = 0
							fr.t.check()
						}
					}
				}
				*(*T)(dst.at(fr)) = v
				if commaOk {
					*at[bool](fr, ok.off) = open
				}
			}
		},
	}
}

func (k *compiler) selectInstr(in *ssa.Select) op {
	type state struct {
		dir  reflect.SelectDir
		rt   reflect.Type
		elem *typeDesc
		c    operand
		send func(*frame) reflect.Value
		recv int // index of the received value in the tuple
		set  func(unsafe.Pointer, reflect.Value)
	}
	out := k.tuple[in]
	var states []state
	recv := 2
	for _, s := range in.States {
		elem, rt := k.chanType(s.Chan.Type())
		st := state{rt: rt, elem: elem, c: k.val(s.Chan), dir: reflect.SelectSend}
		if s.Dir == types.RecvOnly {
			st.dir, st.recv, st.set = reflect.SelectRecv, recv, elem.setter()
			recv++
		} else {
			st.send = k.val(s.Send).reader(elem)
		}
		states = append(states, st)
	}
	blocking := in.Blocking
	return func(fr *frame) {
		cases := make([]reflect.SelectCase, len(states), len(states)+1)
		for i, s := range states {
			cases[i] = reflect.SelectCase{Dir: s.dir, Chan: chanAt(s.rt, s.c.at(fr))}
			if s.dir == reflect.SelectSend {
				cases[i].Send = s.send(fr)
			}
			if s.dir == reflect.SelectRecv {
				copySlot(s.elem.cl, s.elem.operandSize(), out[s.recv].at(fr), zeroSlot(s.elem))
			}
		}
		var i int
		var v reflect.Value
		var ok bool
		if blocking {
			i, v, ok = fr.wait(cases)
		} else {
			i, v, ok = reflect.Select(append(cases, reflect.SelectCase{Dir: reflect.SelectDefault}))
			if i == len(states) {
				i = -1
			}
		}
		*at[int](fr, out[0].off) = i
		*at[bool](fr, out[1].off) = ok
		if i >= 0 && states[i].set != nil {
			states[i].set(out[states[i].recv].at(fr), v)
		}
	}
}

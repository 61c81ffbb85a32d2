package planner

import (
	"fmt"
	"reflect"
	"sync"
	"time"
)

// Clone returns a copy of a household that shares nothing with it that could be
// changed. It works through whatever fields the types have.
func (h *Household) Clone() *Household {
	c := *h
	unshare(reflect.ValueOf(&c).Elem())
	return &c
}

// sharing says, by type, whether copying a value leaves something shared.
var sharing sync.Map // reflect.Type -> bool

var typeTime = reflect.TypeFor[time.Time]()

// shares reports whether values of a type hold slices, maps or pointers. A
// time's location is never changed.
func shares(t reflect.Type) bool {
	if known, ok := sharing.Load(t); ok {
		return known.(bool)
	}
	found := false
	switch t.Kind() {
	case reflect.Slice, reflect.Map, reflect.Pointer, reflect.Interface, reflect.Chan, reflect.Func, reflect.UnsafePointer:
		found = true
	case reflect.Array:
		found = shares(t.Elem())
	case reflect.Struct:
		for i := 0; i < t.NumField() && !found && t != typeTime; i++ {
			found = shares(t.Field(i).Type)
		}
	}
	sharing.Store(t, found)
	return found
}

// unshare replaces what v, a copy that can be set, shares with its original.
func unshare(v reflect.Value) {
	switch v.Kind() {
	case reflect.Struct:
		for i := range v.NumField() {
			if f := v.Field(i); shares(f.Type()) {
				unshare(f)
			}
		}
	case reflect.Array:
		for i := range v.Len() {
			unshare(v.Index(i))
		}
	case reflect.Slice:
		if v.IsNil() {
			return
		}
		c := reflect.MakeSlice(v.Type(), v.Len(), v.Len())
		reflect.Copy(c, v)
		for i := 0; i < c.Len() && shares(v.Type().Elem()); i++ {
			unshare(c.Index(i))
		}
		v.Set(c)
	case reflect.Pointer:
		if v.IsNil() {
			return
		}
		v.Set(copied(v.Elem()).Addr())
	case reflect.Map:
		if v.IsNil() {
			return
		}
		c := reflect.MakeMapWithSize(v.Type(), v.Len())
		for all := v.MapRange(); all.Next(); {
			c.SetMapIndex(all.Key(), copied(all.Value()))
		}
		v.Set(c)
	default:
		panic(fmt.Sprintf("planner: a household cannot be copied with a %s in it", v.Type()))
	}
}

// copied returns a copy of a value that can be set and shares nothing with it.
func copied(v reflect.Value) reflect.Value {
	c := reflect.New(v.Type()).Elem()
	c.Set(v)
	if shares(v.Type()) {
		unshare(c)
	}
	return c
}

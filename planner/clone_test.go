package planner

import (
	"encoding/json"
	"reflect"
	"testing"
	"time"
)

// fillAll sets everything that v holds to something, so that a field which is
// not copied is seen.
func fillAll(v reflect.Value, n *int64) {
	*n++
	switch v.Kind() {
	case reflect.Struct:
		if v.Type() == typeTime {
			v.Set(reflect.ValueOf(time.Unix(*n*1e6, 0).UTC()))
			return
		}
		for i := range v.NumField() {
			if v.Field(i).CanSet() {
				fillAll(v.Field(i), n)
			}
		}
	case reflect.Array:
		for i := range v.Len() {
			fillAll(v.Index(i), n)
		}
	case reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), 2, 4))
		fillAll(v.Index(0), n)
		fillAll(v.Index(1), n)
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		fillAll(v.Elem(), n)
	case reflect.Map:
		key, value := reflect.New(v.Type().Key()).Elem(), reflect.New(v.Type().Elem()).Elem()
		fillAll(key, n)
		fillAll(value, n)
		v.Set(reflect.MakeMap(v.Type()))
		v.SetMapIndex(key, value)
	case reflect.String:
		v.SetString(string(rune('a'+*n%26)) + "x")
	case reflect.Bool:
		v.SetBool(true)
	case reflect.Float64:
		v.SetFloat(float64(*n))
	case reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64, reflect.Uint:
		v.SetUint(uint64(*n % 200))
	default:
		v.SetInt(*n % 100)
	}
}

// addresses notes every slice, map and pointer that v leads to.
func addresses(v reflect.Value, into map[uintptr]bool) {
	switch v.Kind() {
	case reflect.Struct:
		for i := 0; i < v.NumField() && v.Type() != typeTime; i++ {
			addresses(v.Field(i), into)
		}
	case reflect.Array, reflect.Slice:
		if v.Kind() == reflect.Slice && v.Len() > 0 {
			into[v.Pointer()] = true
		}
		for i := range v.Len() {
			addresses(v.Index(i), into)
		}
	case reflect.Pointer:
		into[v.Pointer()] = true
		addresses(v.Elem(), into)
	case reflect.Map:
		into[v.Pointer()] = true
		for all := v.MapRange(); all.Next(); {
			addresses(all.Value(), into)
		}
	}
}

// TestClone copies a household with everything in it that the types allow.
func TestClone(t *testing.T) {
	h := new(Household)
	fillAll(reflect.ValueOf(h).Elem(), new(int64))
	c := h.Clone()
	if !reflect.DeepEqual(h, c) {
		t.Error("the copy is another household")
	}
	mine, theirs := map[uintptr]bool{}, map[uintptr]bool{}
	addresses(reflect.ValueOf(h), mine)
	addresses(reflect.ValueOf(c), theirs)
	if len(mine) < 20 || len(theirs) != len(mine) {
		t.Fatalf("%d and %d addresses: the test sees nothing", len(mine), len(theirs))
	}
	for at := range theirs {
		if mine[at] {
			t.Error("the copy shares something with its original")
		}
	}
	if empty := new(Household).Clone(); !reflect.DeepEqual(empty, new(Household)) {
		t.Errorf("an empty household becomes %v", empty)
	}
}

// clonedAsJSON is what Clone stands for.
func clonedAsJSON(tb testing.TB, h *Household) *Household {
	data, err := json.Marshal(h)
	if err != nil {
		tb.Fatal(err)
	}
	c := new(Household)
	if err := json.Unmarshal(data, c); err != nil {
		tb.Fatal(err)
	}
	return c
}

func BenchmarkClone(b *testing.B) {
	h := &Household{ID: "h", Zone: "UTC", Dogs: []Dog{{ID: "1", Name: "Juniper", Weight: 19.6}},
		Recipes: []Recipe{{ID: "2", Name: "Turkey and heart", Ingredients: []Ingredient{{Food: "turkey-thigh-skinless", Grams: 500}, {Food: "beef-heart", Grams: 20}}}}}
	b.Run("clone", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			h.Clone()
		}
	})
	b.Run("json", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			clonedAsJSON(b, h)
		}
	})
}

package bath

import (
	"cmp"
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/solution/internal/grain"
	"example.com/chelation/tables"
)

// Cover is the one word for how a tub stands. It stands for a gas transfer velocity at the
// surface and a film at the steel, each with a range: see [Bath.Exchange].
type Cover string

// The covers, from shut to open.
const (
	Lidded  Cover = "lidded"       // nothing goes in or out; the zero Cover counts as this
	Boarded Cover = "board on top" // a board that leaves gaps
	Still   Cover = "still"        // open and left alone
	Stirred Cover = "stirred"      // open, and stirred or pumped all the time
	Bubbled Cover = "bubbled"      // with air blown in, a paddle or a splashing pump
)

// Light is what falls on the surface of an open tub; under a lid or a board it is dark.
type Light string

// The lights.
const (
	Dark    Light = "dark" // what the zero Light counts as
	RoomLit Light = "room light"
	Sunlit  Light = "sun" // a sunny day, the night included
)

// covers and lights tell which figures of the tables a word stands for, of dark none.
var (
	covers = map[Cover]string{"": "", Lidded: "", Boarded: "gas-board", Still: "gas-still", Stirred: "gas-stirred", Bubbled: "gas-bubbled"}
	lights = map[Light]string{"": "", Dark: "", RoomLit: "light-room", Sunlit: "light-sun"}
)

// ParseCover reads one of the words, in any case; no word gives the zero Cover.
func ParseCover(text string) (Cover, error) {
	return parse("cover of the tub", text, covers, "lidded, board on top, still, stirred or bubbled")
}

// ParseLight reads one of the words, in any case; no word gives the zero Light.
func ParseLight(text string) (Light, error) {
	return parse("light on the tub", text, lights, "dark, room light or sun")
}

// parse finds a word among those there are.
func parse[T ~string](field, text string, words map[T]string, want string) (T, error) {
	asked := T(strings.Join(strings.Fields(strings.ToLower(text)), " "))
	if _, ok := words[asked]; !ok {
		return "", &chem.InputError{Field: field, Value: fmt.Sprintf("%.40q", text), Want: want}
	}
	return asked, nil
}

// Place is how a tub stands. The zero Place is a lid.
type Place struct {
	Cover Cover `json:"cover,omitempty"`
	Light Light `json:"light,omitempty"`
	// SurfaceCm2 is that of the liquid; zero is that of the shape of a tub with 1000 cm² on 20
	// litres.
	SurfaceCm2 float64 `json:"surface_cm2,omitempty"`
	// GasCmPerHour is the gas transfer velocity (k600) where that was learned: see [Bath.Learn].
	GasCmPerHour tables.Range `json:"gas_cm_per_h,omitzero"`
}

// check refuses words that are none and figures that no tub has.
func (p Place) check() error {
	_, badCover := ParseCover(string(p.Cover))
	_, badLight := ParseLight(string(p.Light))
	var badGas error
	if p.GasCmPerHour != (tables.Range{}) {
		badGas = rising("gas transfer velocity", p.GasCmPerHour, mostVelocity, "cm/h")
	}
	return cmp.Or(badCover, badLight, badGas, chem.Within("surface of the tub", p.SurfaceCm2, 0, 1e7, "cm²"))
}

// rising refuses a range that is none of figures above 0.
func rising(field string, r tables.Range, most float64, in string) error {
	if r.Low > 0 && r.Low <= r.Typical && r.Typical <= r.High && r.High <= most {
		return nil
	}
	return &chem.InputError{Field: field, Value: fmt.Sprintf("%.4g, %.4g to %.4g %s", r.Typical, r.Low, r.High, in), Want: fmt.Sprintf("a range above 0, to %g %s", most, in)}
}

// mostVelocity in cm/h bounds a gas transfer velocity: breaking waves have 100.
const mostVelocity = 1000.0

// Open reports whether gas goes in and out.
func (p Place) Open() bool { return p.Cover != "" && p.Cover != Lidded }

// Stand tells how the tub stands, from here on.
func (b *Bath) Stand(p Place) error {
	if err := cmp.Or(b.ready(), p.check()); err != nil {
		return err
	}
	b.place = p
	return nil
}

// Place returns how the tub stands.
func (b *Bath) Place() Place { return b.place }

// Exchange is how fast a tub and the air or bare steel exchange, by gas-… and steel-… of
// [tables.Kinetic].
type Exchange struct {
	SurfaceCm2      float64      `json:"surface_cm2"`
	DepthCm         float64      `json:"depth_cm"`           // volume over surface
	GasCmPerHour    tables.Range `json:"gas_cm_per_h"`       // k600; zero under a lid
	SteelMetresPerS tables.Range `json:"steel_film_m_per_s"` // of iron(III) on its way to bare steel
}

// Exchange returns how fast the tub exchanges with the air and with steel as it stands.
func (b *Bath) Exchange() (Exchange, error) {
	if err := b.ready(); err != nil {
		return Exchange{}, err
	}
	p := b.place
	const usual, of = 1000, 20 // cm² on so many litres: a common tub
	x := Exchange{SurfaceCm2: cmp.Or(p.SurfaceCm2, usual*math.Pow(b.Litres()/of, 2./3))}
	if x.SurfaceCm2 > 0 {
		x.DepthCm = 1000 * b.Litres() / x.SurfaceCm2
	}
	film := "steel-still"
	if p.Cover == Stirred || p.Cover == Bubbled {
		film = "steel-stirred"
	}
	var err error
	x.SteelMetresPerS = b.figure(&err, film).Times(grain.Diffusion(float64(chem.Celsius(20)), float64(b.Temperature())))
	if x.GasCmPerHour = p.GasCmPerHour; !p.Open() {
		x.GasCmPerHour = tables.Range{}
	} else if x.GasCmPerHour == (tables.Range{}) {
		x.GasCmPerHour = b.figure(&err, covers[p.Cover])
	}
	return x, err
}

// figure returns a figure of [tables.Kinetic]; the first error is kept.
func (b *Bath) figure(err *error, id string) tables.Range {
	k, e := tables.Find[tables.Kinetic](b.tables, id)
	*err = cmp.Or(*err, e)
	return k.Value
}

// The Schmidt numbers of carbon dioxide and oxygen in fresh water as cubics in °C, 0 to
// 30; beyond, that at 30 is kept: R. Wanninkhof, J. Geophys. Res. 97 (1992) 7373,
// table A1, from memory. At 20 °C they are 600 and 530.
var (
	schmidtCO2 = [4]float64{1911.1, -118.11, 3.4527, -0.04132}
	schmidtO2  = [4]float64{1800.6, -120.10, 3.7818, -0.047608}
)

// swiftness is the transfer velocity of a gas over k600, that of a Schmidt number of 600, by
// its inverse square root (surface renewal); under a still film it would be two thirds.
func swiftness(schmidt [4]float64, t unit.Temperature) float64 {
	c := min(float64(t-chem.Celsius(0)), 30)
	return math.Sqrt(600 / (schmidt[0] + c*(schmidt[1]+c*(schmidt[2]+c*schmidt[3]))))
}

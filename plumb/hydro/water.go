package hydro

import "math"

// The range in °C in which Water answers: liquid at one atmosphere.
const (
	WaterMin = 0.0
	WaterMax = 99.0
)

const atmosphere = 101325 // Pa

// Water is liquid water at one atmosphere and t degrees Celsius, from WaterMin
// to WaterMax: density by IAPWS R7-97(2012), region 1, viscosity by IAPWS
// R12-08 without its near-critical term. A temperature outside the range, or
// not a number, is a *FieldError.
func Water(t float64) (Fluid, error) {
	if !(t >= WaterMin && t <= WaterMax) {
		return Fluid{}, &FieldError{Field: "temperature", Value: t, Want: "0 to 99 °C, liquid water"}
	}
	k := t + 273.15
	rho := waterDensity(k, atmosphere)
	return Fluid{Density: rho, Nu: waterViscosity(k, rho) / rho, Gravity: StandardGravity}, nil
}

// region1 holds the terms n·(7.1−π)^i·(τ−1.222)^j of IAPWS R7-97(2012),
// Table 2, proved by the check values of the release's Table 5.
var region1 = [...]struct {
	i, j int
	n    float64
}{
	{0, -2, 0.14632971213167}, {0, -1, -0.84548187169114}, {0, 0, -0.37563603672040e1},
	{0, 1, 0.33855169168385e1}, {0, 2, -0.95791963387872}, {0, 3, 0.15772038513228},
	{0, 4, -0.16616417199501e-1}, {0, 5, 0.81214629983568e-3},
	{1, -9, 0.28319080123804e-3}, {1, -7, -0.60706301565874e-3}, {1, -1, -0.18990068218419e-1},
	{1, 0, -0.32529748770505e-1}, {1, 1, -0.21841717175414e-1}, {1, 3, -0.52838357969930e-4},
	{2, -3, -0.47184321073267e-3}, {2, 0, -0.30001780793026e-3}, {2, 1, 0.47661393906987e-4},
	{2, 3, -0.44141845330846e-5}, {2, 17, -0.72694996297594e-15},
	{3, -4, -0.31679644845054e-4}, {3, 0, -0.28270797985312e-5}, {3, 6, -0.85205128120103e-9},
	{4, -5, -0.22425281908000e-5}, {4, -2, -0.65171222895601e-6}, {4, 10, -0.14341729937924e-12},
	{5, -8, -0.40516996860117e-6}, {8, -11, -0.12734301741641e-8}, {8, -6, -0.17424871230634e-9},
	{21, -29, -0.68762131295531e-18}, {23, -31, 0.14478307828521e-19}, {29, -38, 0.26335781662795e-22},
	{30, -39, -0.11947622640071e-22}, {31, -40, 0.18228094581404e-23}, {32, -41, -0.93537087292458e-25},
}

// waterDensity is the density in kg/m³ of liquid water at t kelvin and p pascal.
func waterDensity(t, p float64) float64 {
	const r, pStar, tStar = 461.526, 16.53e6, 1386 // J/(kg K), Pa, K
	pi, tau := p/pStar, tStar/t
	slope := 0.0 // of the dimensionless Gibbs energy with pressure
	for _, c := range region1 {
		if c.i > 0 {
			slope -= c.n * float64(c.i) * math.Pow(7.1-pi, float64(c.i-1)) * math.Pow(tau-1.222, float64(c.j))
		}
	}
	return pStar / (r * t * slope)
}

// viscosityTerms holds H(i,j) of IAPWS R12-08, Table 2: from memory, proved by
// the release's Table 4.
var viscosityTerms = [...]struct {
	i, j int
	h    float64
}{
	{0, 0, 0.520094}, {1, 0, 0.0850895}, {2, 0, -1.08374}, {3, 0, -0.289555},
	{0, 1, 0.222531}, {1, 1, 0.999115}, {2, 1, 1.88797}, {3, 1, 1.26613}, {5, 1, 0.120573},
	{0, 2, -0.281378}, {1, 2, -0.906851}, {2, 2, -0.772479}, {3, 2, -0.489837}, {4, 2, -0.257040},
	{0, 3, 0.161913}, {1, 3, 0.257399}, {0, 4, -0.0325372}, {3, 4, 0.0698452},
	{4, 5, 0.00872102}, {3, 6, -0.00435673}, {5, 6, -0.000593264},
}

// waterViscosity is the dynamic viscosity in Pa·s at t kelvin and rho kg/m³.
func waterViscosity(t, rho float64) float64 {
	tr, rr := t/647.096, rho/322.0
	dilute := 100 * math.Sqrt(tr) / (1.67752 + 2.20462/tr + 0.6366564/(tr*tr) - 0.241605/(tr*tr*tr))
	sum := 0.0
	for _, c := range viscosityTerms {
		sum += c.h * math.Pow(1/tr-1, float64(c.i)) * math.Pow(rr-1, float64(c.j))
	}
	return 1e-6 * dilute * math.Exp(rr*sum)
}

//! How warm a copper wire gets: bounds for planning, not permissions.
//!
//! Start at [`no_cooling_k_per_s`], [`on_time_s`] and [`steady_rise_k`]. The first two leave out all cooling, so that a bare
//! straight wire warms more slowly than they say; the third supposes a bare straight wire in still air, and a bundle, a
//! sleeve or a coil gets hotter. Bad contacts are not in them.

use super::wire::{
    COEFFICIENT_PER_K, DENSITY_KG_PER_M3, RESISTIVITY_OHM_M, SPECIFIC_HEAT_J_PER_KG_K, Wire, factor,
};

/// Heat given off for each kelvin above the air, W/(m² K) of the wire's surface, when nobody says otherwise: the low end
/// for a surface in still air, and a thin wire gives off more (common practice, no source).
pub const COOLING_W_PER_M2_K: f64 = 10.0;

/// The warming in K/s with no cooling at all: J² ρ(T) / (density × specific heat), for a wire at `temperature_c`.
pub fn no_cooling_k_per_s(wire: &Wire, current_a: f64, temperature_c: f64) -> f64 {
    at_reference_k_per_s(wire, current_a) * factor(temperature_c)
}

/// How long the current takes to warm the wire by `rise_k` with no cooling at all, s; infinite without a current.
///
/// The resistance grows on the way: dT/dt = k (1 + α (T - 20 °C)) gives t = ln(1 + α rise / (1 + α (T₀ - 20 °C))) / (k α).
/// The specific heat is taken as it is at room temperature, which makes the time a little too short.
pub fn on_time_s(wire: &Wire, current_a: f64, start_c: f64, rise_k: f64) -> f64 {
    let rate = at_reference_k_per_s(wire, current_a);
    libm::log1p(COEFFICIENT_PER_K * rise_k / factor(start_c)) / (rate * COEFFICIENT_PER_K)
}

/// How far above the air the wire settles in the end, K, when its surface gives off `cooling_w_per_m2_k` for each kelvin;
/// `None` when it never settles, because its resistance grows faster than its cooling.
///
/// I² R(T) = h π d (T - T_air), each for one metre. The ends, which the terminals cool, are left out.
pub fn steady_rise_k(
    wire: &Wire,
    current_a: f64,
    air_c: f64,
    cooling_w_per_m2_k: f64,
) -> Option<f64> {
    let watt_per_m = current_a * current_a * wire.ohm_per_m(air_c);
    let growth = watt_per_m * COEFFICIENT_PER_K / factor(air_c);
    let given_off = cooling_w_per_m2_k * std::f64::consts::PI * wire.diameter_m;
    (given_off > growth).then(|| watt_per_m / (given_off - growth))
}

fn at_reference_k_per_s(wire: &Wire, current_a: f64) -> f64 {
    let density_a_per_m2 = current_a / wire.area_m2();
    density_a_per_m2 * density_a_per_m2 * RESISTIVITY_OHM_M
        / (DENSITY_KG_PER_M3 * SPECIFIC_HEAT_J_PER_KG_K)
}

//! Copper wire: diameter from a gauge number, resistance at a temperature.
//!
//! Start at [`Wire`]; [`swg_diameter_m`] and [`awg_diameter_m`] give the diameters. Copper only: no sourced constants of
//! other metals are at hand.

use std::f64::consts::PI;

/// Resistivity of annealed copper at 20 °C, Ω m: 1/58 Ω mm²/m exactly.
///
/// # Source
/// IEC 60028:1925, International Annealed Copper Standard.
pub const RESISTIVITY_OHM_M: f64 = 1e-6 / 58.0;
/// Change of the resistance for one kelvin, as a fraction of that at 20 °C, 1/K. Source: the same.
pub const COEFFICIENT_PER_K: f64 = 0.003_93;
/// The temperature of both, °C.
pub const REFERENCE_C: f64 = 20.0;
/// Density, kg/m³: that of the conductor standard (IEC 60028:1925). The handbook's 8960 for the element would give a
/// slower warming.
pub const DENSITY_KG_PER_M3: f64 = 8890.0;
/// Specific heat capacity near room temperature, J/(kg K), CRC Handbook of Chemistry and Physics. It grows a little with
/// temperature, so that the real warming is slower.
pub const SPECIFIC_HEAT_J_PER_KG_K: f64 = 385.0;

/// Diameters of the standard wire gauge, thousandths of an inch, from number 0 on.
///
/// # Source
/// BS 3737:1964 (withdrawn) for the even numbers 14 to 40; the others from memory of the same table.
const SWG_MIL: [f64; 41] = [
    324.0, 300.0, 276.0, 252.0, 232.0, 212.0, 192.0, 176.0, 160.0, 144.0, 128.0, 116.0, 104.0,
    92.0, 80.0, 72.0, 64.0, 56.0, 48.0, 40.0, 36.0, 32.0, 28.0, 24.0, 22.0, 20.0, 18.0, 16.4, 14.8,
    13.6, 12.4, 11.6, 10.8, 10.0, 9.2, 8.4, 7.6, 6.8, 6.0, 5.2, 4.8,
];

/// Diameter in m of a wire of the standard wire gauge (SWG), number 0 to 40; `None` for other numbers.
pub fn swg_diameter_m(number: u32) -> Option<f64> {
    // An inch is 25.4 mm exactly.
    Some(SWG_MIL.get(usize::try_from(number).ok()?)? * 25.4e-6)
}

/// Diameter in m of a wire of the American wire gauge (AWG), number 0 to 40: d = 0.127 mm × 92^((36 - n)/39); `None` for
/// other numbers.
///
/// # Source
/// ASTM B258.
pub fn awg_diameter_m(number: u32) -> Option<f64> {
    let steps = (36.0 - f64::from(number)) / 39.0;
    (number <= 40).then(|| 0.127e-3 * libm::pow(92.0, steps))
}

/// A round copper wire.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wire {
    /// Diameter of the bare wire, m.
    pub diameter_m: f64,
}

impl Wire {
    /// Cross-section, m².
    pub fn area_m2(&self) -> f64 {
        PI * self.diameter_m * self.diameter_m / 4.0
    }

    /// Resistance of one metre at a temperature in °C, Ω/m.
    ///
    /// # Examples
    /// Half a square millimetre has 1/29 Ω/m at 20 °C.
    /// ```
    /// use yokeline_core::plan::wire::Wire;
    /// let wire = Wire { diameter_m: (4.0 * 0.5e-6 / std::f64::consts::PI).sqrt() };
    /// assert!((wire.ohm_per_m(20.0) - 1.0 / 29.0).abs() < 1e-12);
    /// ```
    pub fn ohm_per_m(&self, temperature_c: f64) -> f64 {
        RESISTIVITY_OHM_M * factor(temperature_c) / self.area_m2()
    }

    /// Mass of one metre, kg/m.
    pub fn kg_per_m(&self) -> f64 {
        DENSITY_KG_PER_M3 * self.area_m2()
    }
}

/// Resistance at a temperature in °C over that at 20 °C: 1 + 0.00393 (T - 20). Source: IEC 60028:1925.
pub fn factor(temperature_c: f64) -> f64 {
    1.0 + COEFFICIENT_PER_K * (temperature_c - REFERENCE_C)
}

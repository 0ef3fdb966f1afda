//! Free fall acceleration at a place, from its latitude and height.
//!
//! Start at [`local_m_per_s2`].

/// Normal gravity at the equator, m/s².
const EQUATOR_M_PER_S2: f64 = 9.780_325_335_9;
/// Somigliana's constant k.
const SOMIGLIANA: f64 = 0.001_931_852_652_41;
/// First eccentricity of the ellipsoid, squared.
const ECCENTRICITY_SQUARED: f64 = 0.006_694_379_990_14;
/// Semi-major axis a, m.
const AXIS_M: f64 = 6_378_137.0;
/// Flattening f.
const FLATTENING: f64 = 1.0 / 298.257_223_563;
/// m = ω² a² b / GM.
const CENTRIFUGAL: f64 = 0.003_449_786_506_84;

/// Gravity that schools take, m/s² (common practice, no source).
pub const SCHOOL_M_PER_S2: f64 = 9.81;

/// Normal gravity on the ellipsoid in m/s²: g = g_e (1 + k sin²φ) / √(1 - e² sin²φ), at the geodetic latitude φ in rad.
///
/// # Source
/// WGS 84, NIMA TR8350.2 (third edition), with its printed constants; not the older formula of GRS 80, which is larger by
/// about 1.4×10⁻⁶ m/s².
pub fn normal_m_per_s2(latitude_rad: f64) -> f64 {
    let sine = libm::sin(latitude_rad);
    let square = sine * sine;
    EQUATOR_M_PER_S2 * (1.0 + SOMIGLIANA * square) / (1.0 - ECCENTRICITY_SQUARED * square).sqrt()
}

/// Normal gravity in m/s² at a height h in m above the ellipsoid:
/// g (1 - (2h/a)(1 + f + m - 2f sin²φ) + 3h²/a²).
///
/// Near 3.086×10⁻⁶ m/s² less for each metre. Real gravity differs from it by up to about 0.001 m/s² where the ground is
/// dense, hollow or steep (from memory), and a height above the sea is taken for one above the ellipsoid, up to 100 m
/// off or 0.0003 m/s² (from memory).
///
/// # Source
/// The same: the free-air term to the second order in h/a.
///
/// # Examples
/// ```
/// use yokeline_core::plan::gravity::local_m_per_s2;
/// assert!((local_m_per_s2(51.5_f64.to_radians(), 100.0) - 9.811725).abs() < 1e-6);
/// ```
pub fn local_m_per_s2(latitude_rad: f64, height_m: f64) -> f64 {
    let sine = libm::sin(latitude_rad);
    let part = height_m / AXIS_M;
    let first = 1.0 + FLATTENING + CENTRIFUGAL - 2.0 * FLATTENING * sine * sine;
    normal_m_per_s2(latitude_rad) * (1.0 - 2.0 * part * first + 3.0 * part * part)
}

/// How far B comes out wrong, in per cent of it, when `taken_m_per_s2` is used where `local_m_per_s2` holds: B is
/// proportional to g. Negative when B comes out too small.
pub fn error_of_b_percent(taken_m_per_s2: f64, local_m_per_s2: f64) -> f64 {
    100.0 * (taken_m_per_s2 / local_m_per_s2 - 1.0)
}

//! Warmth against an integration step by step, which knows nothing of the closed formulas.

use yokeline_core::plan::warmth::{no_cooling_k_per_s, on_time_s, steady_rise_k};
use yokeline_core::plan::wire::{Wire, swg_diameter_m};
use yokeline_core::plan::{Plan, Supply, WirePlan, plan};
use yokeline_tests::close;

use crate::bench;

/// dT/dt in K/s of a metre of copper at T °C. Constants: IEC 60028:1925 (1/58 Ω mm²/m, 0.00393 per K, 8.89 g/cm³); CRC
/// Handbook (0.385 J/(g K)).
fn warming(diameter_m: f64, current_a: f64, air_c: f64, cooling: f64, celsius: f64) -> f64 {
    let area = std::f64::consts::PI * diameter_m.powi(2) / 4.0;
    let ohm = 1e-6 / 58.0 * (1.0 + 0.00393 * (celsius - 20.0)) / area;
    let lost = cooling * std::f64::consts::PI * diameter_m * (celsius - air_c);
    (current_a.powi(2) * ohm - lost) / (8890.0 * area * 385.0)
}

/// Runge and Kutta's fourth order.
fn integrate(start: f64, seconds: f64, steps: usize, slope: impl Fn(f64) -> f64) -> f64 {
    let h = seconds / steps as f64;
    (0..steps).fold(start, |t, _| {
        let k1 = slope(t);
        let k2 = slope(t + h / 2.0 * k1);
        let k3 = slope(t + h / 2.0 * k2);
        let k4 = slope(t + h * k3);
        t + h / 6.0 * (k1 + 2.0 * k2 + 2.0 * k3 + k4)
    })
}

#[test]
fn the_time_on_warms_the_wire_by_the_rise() {
    for (gauge, current_a, room_c, rise_k) in [
        (22, 5.0, 20.0, 20.0),
        (30, 3.0, 12.0, 60.0),
        (18, 10.0, 30.0, 5.0),
    ] {
        let wire = Wire {
            diameter_m: swg_diameter_m(gauge).unwrap(),
        };
        let seconds = on_time_s(&wire, current_a, room_c, rise_k);
        let slope = |t| warming(wire.diameter_m, current_a, room_c, 0.0, t);
        let end = integrate(room_c, seconds, 200, slope);
        println!("{gauge} SWG, {current_a} A: {rise_k} K in {seconds:.2} s");
        close("rise", end - room_c, rise_k, 1e-9);
        let rate = no_cooling_k_per_s(&wire, current_a, room_c);
        close("rate", rate, slope(room_c), 1e-12);
        // Cooled at all, it is slower: the time is a bound.
        let cooled = integrate(room_c, seconds, 200, |t| {
            warming(wire.diameter_m, current_a, room_c, 10.0, t)
        });
        assert!(cooled < end);
    }
}

#[test]
fn a_cooled_wire_settles_where_it_is_said_to() {
    for (gauge, current_a, room_c, cooling) in [(22, 5.0, 20.0, 10.0), (26, 2.0, 25.0, 25.0)] {
        let wire = Wire {
            diameter_m: swg_diameter_m(gauge).unwrap(),
        };
        let rise = steady_rise_k(&wire, current_a, room_c, cooling).unwrap();
        let slope = |t| warming(wire.diameter_m, current_a, room_c, cooling, t);
        let end = integrate(room_c, 6000.0, 60_000, slope);
        println!("{gauge} SWG, {current_a} A: settles {rise:.2} K above the room");
        close("settled", end - room_c, rise, 1e-6);
    }
    // By hand: 36 SWG is 0.193 mm; at 10 A, 100 × 0.589 Ω/m × 0.00393 = 0.23 W/(m K) of growth against
    // 10 × π × 0.193 mm = 0.006 of cooling.
    let thin = Wire {
        diameter_m: swg_diameter_m(36).unwrap(),
    };
    assert_eq!(steady_rise_k(&thin, 10.0, 20.0, 10.0), None);
}

#[test]
fn supply_and_limits() {
    let asked = |limit: &str, voltage: &str| Plan {
        wire: WirePlan {
            diameter: "0.7112 mm".into(),
            length: "60 cm".into(),
            turns: "10".into(),
            leads: "0.05 Ω".into(),
            limit: limit.into(),
            ..WirePlan::default()
        },
        supply: Supply {
            voltage: voltage.into(),
            current_limit: "6 A".into(),
        },
        ..bench("30 mT", "5 A", "0.01 g")
    };
    let planned = plan(&asked("8 A", "12 V"));
    let wire = planned.wire.unwrap();
    // 6 m of 0.0434008894 Ω/m (22 SWG, see the table) and the leads, Ohm's law.
    let ohm = 6.0 * 0.0434008893690619 + 0.05;
    close("resistance", wire.resistance.unwrap(), ohm, 1e-12);
    close("voltage", wire.voltage.unwrap(), 5.0 * ohm, 1e-12);
    close("power", wire.power.unwrap(), 25.0 * ohm, 1e-12);
    close(
        "whole voltage",
        wire.unlimited_current.unwrap(),
        12.0 / ohm,
        1e-12,
    );
    assert_eq!(wire.voltage_enough, Some(true));
    assert!(planned.limits.passed.is_empty());
    assert_eq!(
        plan(&asked("8 A", "1.5 V")).wire.unwrap().voltage_enough,
        Some(false)
    );
    let over = plan(&asked("4.9 A", "12 V"));
    assert_eq!(over.limits.passed, ["wire"]);
    assert!(
        over.limits
            .text
            .contains("more than the limit typed for the wire")
    );
    // Leads as a length of the same wire: 10 m more of it.
    let mut longer = asked("8 A", "12 V");
    longer.wire.leads = "10 m".into();
    let found = plan(&longer).wire.unwrap().resistance.unwrap();
    close("leads", found, 16.0 * 0.0434008893690619, 1e-12);
}

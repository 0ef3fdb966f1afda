//! Wire, gravity and force against published figures; sources in `data/reference/SOURCES.md`.

use yokeline_core::figures::round;
use yokeline_core::plan::gravity::{error_of_b_percent, local_m_per_s2, normal_m_per_s2};
use yokeline_core::plan::wire::{DENSITY_KG_PER_M3, Wire, awg_diameter_m, factor, swg_diameter_m};
use yokeline_core::plan::{Place, Plan, WirePlan, plan};
use yokeline_tests::{close, columns, data};

use crate::{bench, expected};

#[test]
fn american_wire() {
    let table = rows("reference/awg_copper.csv");
    assert_eq!(table.len(), 12);
    for row in table {
        let number = row[0];
        let what = format!("AWG {number}");
        let wire = Wire {
            diameter_m: awg_diameter_m(number as u32).unwrap(),
        };
        close(&what, wire.diameter_m * 1e3, row[1], 1e-13);
        close(&what, wire.area_m2() * 1e6, row[2], 1e-13);
        close(&what, wire.ohm_per_m(20.0), row[3], 1e-13);
        close(&what, wire.kg_per_m() * 1e3, row[6], 1e-10);
        // As printed in tables of solid wire: four figures for a thousand feet of 0.3048 m.
        let printed = round::to_significant(wire.ohm_per_m(20.0) * 304.8, 4);
        assert_eq!(printed.parse(), Ok(row[5]), "{what}");
    }
    assert_eq!(awg_diameter_m(41), None);
}

#[test]
fn standard_wire() {
    let table = rows("reference/swg_copper.csv");
    assert_eq!(table.len(), 14);
    for row in table {
        let number = row[0];
        let what = format!("SWG {number}");
        let wire = Wire {
            diameter_m: swg_diameter_m(number as u32).unwrap(),
        };
        close(&what, wire.diameter_m, row[1] * 0.0254, 1e-13);
        close(&what, wire.area_m2() * 1e6, row[4], 1e-13);
        close(&what, wire.ohm_per_m(20.0), row[5], 1e-13);
        close(&what, wire.kg_per_m() * 1e3, row[6], 1e-10);
    }
    // The numbers between stand between.
    for number in 1..=40 {
        assert!(
            swg_diameter_m(number) < swg_diameter_m(number - 1),
            "{number}"
        );
    }
    assert_eq!(swg_diameter_m(41), None);
}

#[test]
fn copper() {
    // Density of the conductor standard, IEC 60028:1925.
    assert_eq!(DENSITY_KG_PER_M3, 8890.0);
    // R = R20 (1 + 0.00393 (T - 20)), the same source.
    for (celsius, expected) in [(0.0, 0.9214), (70.0, 1.1965), (100.0, 1.3144)] {
        close("factor", factor(celsius), expected, 1e-12);
    }
    // OpenStax, College Physics 2e, section 20.3, first problem: 20.0 m of 2.053 mm copper has 0.104 Ω.
    let planned = plan(&Plan {
        wire: WirePlan {
            diameter: "2.053 mm".into(),
            length: "20.0 m".into(),
            ..WirePlan::default()
        },
        ..Plan::default()
    });
    let ohm = planned.wire.unwrap().resistance.unwrap();
    assert_eq!(round::to_significant(ohm, 3), "0.104");
}

/// WGS 84, NIMA TR8350.2, by its printed constants.
#[test]
fn gravity_on_the_ellipsoid() {
    let table = columns("reference/normal_gravity.csv");
    assert_eq!(table[0].len(), 8);
    for (latitude, expected) in table[0].iter().zip(&table[1]) {
        let found = normal_m_per_s2(latitude.to_radians());
        close(&format!("{latitude}°"), found, *expected, 1e-14);
    }
}

#[test]
fn gravity_at_a_height() {
    let table = rows("reference/gravity_at_height.csv");
    assert_eq!(table.len(), 8);
    for row in table {
        let (latitude, height) = (row[0], row[1]);
        let what = format!("{latitude}° at {height} m");
        let found = local_m_per_s2(latitude.to_radians(), height);
        // The table starts from the defining parameters, which differ from the printed constants by 4.4×10⁻¹² m/s² at most.
        close(&what, found, row[2], 5e-13);
        // The closed form is what the series of second order stands for.
        close(&what, found, row[3], 2e-8);
    }
}

#[test]
fn what_gravity_does_to_b() {
    // By hand: the table's 9.8117250758 at 51.5° and 100 m; B is proportional to g.
    let asked = Plan {
        place: Place {
            latitude: "51.5° N".into(),
            height: "100 m".into(),
        },
        ..bench("30 mT", "5 A", "0.01 g")
    };
    let found = plan(&asked).gravity.unwrap();
    let expected = 100.0 * (9.81 - 9.8117250758203) / 9.8117250758203;
    close("B too small", found.b_error_percent, expected, 5e-9);
    assert_eq!(found.school_difference_percent, found.b_error_percent);
    assert_eq!(error_of_b_percent(9.8, 9.8), 0.0);
    let south = Plan {
        place: Place {
            latitude: "51.5 S".into(),
            height: "0.1 km".into(),
        },
        ..asked
    };
    assert_eq!(plan(&south).gravity.unwrap().local, found.local);
}

/// OpenStax, College Physics 2e, chapter 22, and University Physics Volume 2, chapter 11: forces on a straight wire.
#[test]
fn forces_of_the_textbooks() {
    let text = data("reference/force_on_wire.csv");
    let mut checked = 0;
    for line in text.lines().skip(1) {
        let cells = quoted(line);
        let known = |name: &str| {
            let part = cells[4].split("; ").find_map(|p| p.strip_prefix(name))?;
            part.split(' ').next()?.parse::<f64>().ok()
        };
        let (Some(ampere), Some(metre), Some(tesla), Some(angle)) =
            (known("I="), known("L="), known("B="), known("angle="))
        else {
            continue;
        };
        // 0 and 180 degrees: no force, and a wire along the field is refused as a bench.
        if cells[3] != "force" || angle % 180.0 == 0.0 {
            continue;
        }
        let mut asked = bench(&format!("{tesla} T"), "5 A", "0.01 g");
        asked.apparatus.length = format!("{metre} m");
        asked.apparatus.angle = format!("{angle}°");
        let newton = expected(&asked).gradient * 9.81 * ampere;
        let answer: f64 = cells[5].parse().unwrap();
        let figures = cells[5]
            .trim_start_matches(['0', '.'])
            .replace('.', "")
            .len();
        let rounded: f64 = round::to_significant(newton, figures as u32)
            .parse()
            .unwrap();
        close(&cells[0], rounded, answer, 1e-12);
        checked += 1;
    }
    assert_eq!(checked, 5);
}

/// Made from the books' B and L: gradient = B L / g with standard gravity (exact by convention, 3rd CGPM, 1901).
#[test]
fn gradients_of_the_balance() {
    let text = data("reference/balance_form.csv");
    let rows: Vec<&str> = text.lines().skip(1).collect();
    assert_eq!(rows.len(), 3);
    for line in rows {
        let cells: Vec<&str> = line.split(',').collect();
        let mut asked = bench(&format!("{} T", cells[1]), "5 A", "0.01 g");
        asked.apparatus.length = format!("{} m", cells[2]);
        asked.apparatus.gravity = "9.80665 m/s²".into();
        let gram_per_a: f64 = cells[3].parse().unwrap();
        close(
            cells[0],
            expected(&asked).gradient_g_per_a,
            gram_per_a,
            1e-14,
        );
    }
}

/// The rows of a table of numbers.
fn rows(name: &str) -> Vec<Vec<f64>> {
    let columns = columns(name);
    let row = |at: usize| columns.iter().map(|column| column[at]).collect();
    (0..columns[0].len()).map(row).collect()
}

/// The cells of a CSV line whose quoted cells may hold commas.
fn quoted(line: &str) -> Vec<String> {
    let mut cells = vec![String::new()];
    let mut inside = false;
    for character in line.chars() {
        match character {
            '"' => inside = !inside,
            ',' if !inside => cells.push(String::new()),
            other => cells.last_mut().unwrap().push(other),
        }
    }
    cells
}

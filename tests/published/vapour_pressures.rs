//! Vapour pressures against `vapour_pressures.csv`: CoolProp 8.0.0 and `chemicals` 1.5.2 (its Perry table 2-8). Seen:
//! secondary, through the packages. The coefficients are those of Poling through `chemicals`; where the temperature
//! lies under their fitted range the test is looser, and says by how much n-butyl acetate misses.

use crate::near;
use crate::shop::materials;
use sandarac::vapour::flash::Antoine;

struct Row {
    substance: String,
    curve: Antoine,
    celsius: f64,
    kpa: f64,
}

fn rows() -> Vec<Row> {
    let text = include_str!("vapour_pressures.csv");
    let lines = text.lines().filter(|line| !line.starts_with('#')).skip(1);
    lines
        .map(|line| {
            let cells: Vec<&str> = line.split(',').collect();
            let number = |place: usize| cells[place].parse::<f64>().unwrap();
            let curve = Antoine {
                a: number(2),
                b: number(3),
                c: number(4),
                coldest: number(5),
                warmest: number(6),
            };
            Row {
                substance: cells[0].to_string(),
                curve,
                celsius: number(7),
                kpa: number(8),
            }
        })
        .collect()
}

#[test]
fn antoine_inside_its_range() {
    let mut checked = 0;
    for row in rows() {
        let Some(pa) = row.curve.pressure(row.celsius + 273.15) else {
            continue;
        };
        let share = match row.substance.as_str() {
            "n-butyl acetate" => 0.07,
            "n-butanol" | "methyl ethyl ketone" => 0.03,
            _ => 0.02,
        };
        near(Some(pa / 1000.0), row.kpa, share);
        checked += 1;
    }
    assert_eq!(checked, 33);
}

#[test]
fn antoine_reaching_below_its_range() {
    for row in rows() {
        let pa = row
            .curve
            .reaching_colder(30.0)
            .pressure(row.celsius + 273.15);
        near(
            pa.map(|pa| pa / 1000.0),
            row.kpa,
            if row.substance == "n-butyl acetate" {
                0.14
            } else {
                0.065
            },
        );
    }
}

/// The program has the same coefficients, so what holds for them here holds for it.
#[test]
fn the_built_in_materials_have_these_coefficients() {
    let materials = materials();
    for row in rows() {
        let stated = materials.find(&row.substance).unwrap().first("antoine");
        let ours: Vec<f64> = stated
            .unwrap()
            .value
            .split(' ')
            .map(|number| number.parse().unwrap())
            .collect();
        assert_eq!(
            ours,
            [row.curve.a, row.curve.b, row.curve.c],
            "{}",
            row.substance
        );
    }
}

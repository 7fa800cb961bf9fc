//! Sheets in layers, such as composite panel: force adds layer by layer.

use super::CuttingLaw;
use kw_base::Band;

/// One layer of a sheet, or the part of one that an edge cuts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Layer {
    /// Thickness, mm, at least 0.
    pub thickness_mm: f64,
    /// Its specific cutting force.
    pub law: CuttingLaw,
}

/// Sum of the thicknesses, mm.
pub fn stack_thickness_mm(layers: &[Layer]) -> f64 {
    layers.iter().map(|layer| layer.thickness_mm.max(0.0)).sum()
}

/// Force, N, on one edge that cuts all layers at chip thickness `chip_mm`: Σ tᵢ·kcᵢ(h)·h.
pub fn force_on_edge_n(layers: &[Layer], chip_mm: f64) -> Band {
    layers
        .iter()
        .map(|layer| layer.law.force_per_width_n_mm(chip_mm) * layer.thickness_mm.max(0.0))
        .sum()
}

/// Specific cutting force of the stack as a whole, Σ tᵢ·kcᵢ(h)/Σ tᵢ, N/mm²; `None` without
/// thickness or chip.
pub fn mean_specific_n_mm2(layers: &[Layer], chip_mm: f64) -> Option<Band> {
    let area_mm2 = stack_thickness_mm(layers) * chip_mm;
    (area_mm2 > 0.0).then(|| force_on_edge_n(layers, chip_mm) * area_mm2.recip())
}

/// The part of a stack between two depths below its top, mm, top layer first; empty if `to_mm` is
/// not below `from_mm`, shorter where the stack ends.
pub fn layers_between(layers: &[Layer], from_mm: f64, to_mm: f64) -> Vec<Layer> {
    let mut top_mm = 0.0;
    let mut within = Vec::with_capacity(layers.len());
    for layer in layers {
        let bottom_mm = top_mm + layer.thickness_mm.max(0.0);
        let thickness_mm = bottom_mm.min(to_mm) - top_mm.max(from_mm);
        if thickness_mm > 0.0 {
            within.push(Layer { thickness_mm, law: layer.law });
        }
        top_mm = bottom_mm;
    }
    within
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::force::LinearLaw;

    const HARD: CuttingLaw = CuttingLaw::Linear(LinearLaw::exact(600.0, 13.0));
    const SOFT: CuttingLaw = CuttingLaw::Linear(LinearLaw::exact(25.0, 3.0));

    fn panel() -> [Layer; 3] {
        [(0.3, HARD), (2.4, SOFT), (0.3, HARD)]
            .map(|(thickness_mm, law)| Layer { thickness_mm, law })
    }

    #[test]
    fn halves_add_up_to_the_whole() {
        let whole = force_on_edge_n(&panel(), 0.1).likely;
        let parts: f64 = [(0.0, 1.1), (1.1, 5.0)]
            .map(|(from, to)| force_on_edge_n(&layers_between(&panel(), from, to), 0.1).likely)
            .iter()
            .sum();
        assert!((whole - parts).abs() < 1e-12);
    }

    #[test]
    fn a_shallow_pass_meets_the_skin_alone() {
        let skin = layers_between(&panel(), 0.0, 0.2);
        assert_eq!(skin, [Layer { thickness_mm: 0.2, law: HARD }]);
        assert!(layers_between(&panel(), 2.0, 1.0).is_empty());
        assert!(layers_between(&panel(), 3.0, 9.0).is_empty());
    }

    #[test]
    fn no_stack_no_mean() {
        assert_eq!(mean_specific_n_mm2(&[], 0.1), None);
        assert_eq!(mean_specific_n_mm2(&panel(), 0.0), None);
    }
}

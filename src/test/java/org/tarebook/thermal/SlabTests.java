package org.tarebook.thermal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;
import static org.tarebook.thermal.Row.number;

import java.util.Map;
import java.util.function.ToDoubleFunction;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.ReferenceTable;

/** Exact slabs against tables computed at 50 digits from the series of Carslaw and Jaeger. */
class SlabTests {

  private static void agrees(
      String table, String column, double tolerance, ToDoubleFunction<Map<String, String>> ours) {
    ReferenceTable.read("trade/" + table + ".csv")
        .forEach(
            row ->
                assertThat(ours.applyAsDouble(row))
                    .as(row.get("case"))
                    .isCloseTo(number(row, column), within(tolerance)));
  }

  @Test
  void equalFacesAgreeWithTheTable() {
    agrees(
        "slab_symmetric",
        "theta_(T-Ts)/(T0-Ts)",
        1e-9,
        row ->
            Slab.symmetric(
                number(row, "Fo_alpha_t_over_L2"), number(row, "x_over_L_from_midplane")));
  }

  @Test
  void unequalFacesAgreeWithTheTable() {
    agrees(
        "slab_two_faces",
        "T_C",
        1e-6,
        row ->
            Slab.twoFaces(
                number(row, "thickness_m"),
                number(row, "alpha_m2_per_s"),
                number(row, "T_initial_C"),
                number(row, "T_inner_face_C"),
                number(row, "T_outer_face_C"),
                number(row, "t_s"),
                number(row, "x_from_inner_m")));
  }

  @Test
  void earlyTimesAgreeWithTheTable() {
    agrees(
        "slab_early_time_erfc",
        "(T-T0)/(Ts-T0)",
        1e-9,
        row ->
            Slab.earlyTime(number(row, "alpha_m2_per_s"), number(row, "x_m"), number(row, "t_s")));
  }

  @Test
  void filmsAgreeWithTheTable() {
    agrees("slab_convective_heisler", "zeta1_rad", 1e-9, row -> Slab.root(number(row, "Bi"), 0));
    agrees(
        "slab_convective_heisler",
        "theta_midplane",
        1e-9,
        row -> Slab.convective(number(row, "Bi"), number(row, "Fo"), 0));
    agrees(
        "slab_convective_heisler",
        "theta_surface",
        1e-9,
        row -> Slab.convective(number(row, "Bi"), number(row, "Fo"), 1));
  }

  @Test
  void rampedFacesAgreeWithTheTable() {
    agrees(
        "slab_ramped_faces",
        "T_minus_T0_K",
        1e-6,
        row ->
            Slab.ramped(
                number(row, "half_thickness_m"),
                number(row, "alpha_m2_per_s"),
                number(row, "rate_K_per_s"),
                number(row, "t_s"),
                number(row, "x_from_midplane_m")));
  }

  @Test
  void timesToReachADeficitAgreeWithTheTable() {
    agrees(
        "slab_time_to_reach",
        "t_s",
        1e-3,
        row ->
            Slab.timeToReach(
                number(row, "thickness_m"),
                number(row, "alpha_m2_per_s"),
                number(row, "T_initial_C"),
                number(row, "T_faces_C"),
                number(row, "deficit_K")));
  }

  @Test
  void refusesWhatCannotBe() {
    assertThatThrownBy(() -> Slab.symmetric(0, 0)).hasMessageContaining("above 0");
    assertThatThrownBy(() -> Slab.symmetric(1, 1.5)).hasMessageContaining("must lie");
    assertThatThrownBy(() -> Slab.timeToReach(0.02, 1e-7, 25, 150, 200))
        .hasMessageContaining("below the first difference");
    assertThatThrownBy(() -> Slab.ramped(0.01, 0, 1, 1, 0)).hasMessageContaining("diffusivity");
  }
}

package org.tarebook.thermal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;
import static org.tarebook.thermal.Row.number;

import java.util.Arrays;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Reference;
import org.tarebook.fixtures.ReferenceTable;
import tools.jackson.databind.JsonNode;

/** The solver against exact slabs. */
class ConductionTests {

  private static final Arrhenius LAW = new Arrhenius(90_000, 150);

  private static Layer rubber(String name, double thickness, double diffusivity, CureLaw law) {
    return new Layer(name, thickness, diffusivity, 0.25, law);
  }

  private static Span span(double from, double to, int last, Trace inside, Trace outside) {
    return new Span(from, to, 0, last, inside, Film.PERFECT, outside, Film.PERFECT);
  }

  private static HeatHistory slab(
      double thickness,
      double diffusivity,
      CureLaw law,
      double initial,
      Trace inside,
      Trace outside,
      double... marks) {
    return Conduction.solve(
        new Section(List.of(rubber("slab", thickness, diffusivity, law))),
        List.of(span(0, marks[marks.length - 1], 0, inside, outside)),
        new double[] {initial},
        marks);
  }

  @Test
  void stepsOfUnequalFacesAgreeWithTheTable() {
    double worst = 0;
    for (Map<String, String> row : ReferenceTable.read("trade/slab_two_faces.csv")) {
      double ours =
          slab(
                  number(row, "thickness_m"),
                  number(row, "alpha_m2_per_s"),
                  LAW,
                  number(row, "T_initial_C"),
                  Trace.constant(number(row, "T_inner_face_C")),
                  Trace.constant(number(row, "T_outer_face_C")),
                  number(row, "t_s"))
              .celsiusAt(number(row, "x_from_inner_m"), 0);
      worst = Math.max(worst, Math.abs(ours - number(row, "T_C")));
    }
    assertThat(worst).isLessThan(0.05);
  }

  @Test
  void filmsAgreeWithExactSlabs() {
    for (Map<String, String> row : ReferenceTable.read("trade/slab_convective_heisler.csv")) {
      double half = 0.01;
      double diffusivity = 1.2e-7;
      double seconds = number(row, "Fo") * half * half / diffusivity;
      Film film = new Film(number(row, "Bi") * 0.25 / half);
      HeatHistory history =
          Conduction.solve(
              new Section(List.of(rubber("slab", 2 * half, diffusivity, LAW))),
              List.of(
                  new Span(0, seconds, 0, 0, Trace.constant(150), film, Trace.constant(150), film)),
              new double[] {50},
              new double[] {seconds});
      assertThat((history.celsiusAt(half, 0) - 150) / -100)
          .as(row.get("case"))
          .isCloseTo(number(row, "theta_midplane"), within(3e-4));
      assertThat((history.celsiusAt(0, 0) - 150) / -100)
          .as(row.get("case"))
          .isCloseTo(number(row, "theta_surface"), within(3e-4));
    }
  }

  @Test
  void loggedFacesAgreeWithTheTable() {
    for (JsonNode one : Reference.json("trade/slab_logged_faces.json").get("cases")) {
      double[] seconds = doubles(one.get("t_s"));
      Trace inside = new Trace(seconds, doubles(one.get("T_inner_face_C")), Between.LINEAR);
      Trace outside = new Trace(seconds, doubles(one.get("T_outer_face_C")), Between.LINEAR);
      double thickness = Double.parseDouble(one.get("thickness_m").asString());
      CureLaw law = new Arrhenius(one.get("Ea_J_per_mol").asDouble(), one.get("Tref_C").asDouble());
      for (Map.Entry<String, JsonNode> depth :
          one.get("temperature_at_x_over_L_from_inner").properties()) {
        double place = Double.parseDouble(depth.getKey()) * thickness;
        double[] marks = new double[depth.getValue().size()];
        for (int i = 0; i < marks.length; i++) {
          marks[i] = depth.getValue().get(i).get(0).asDouble();
        }
        double end = seconds[seconds.length - 1];
        double[] withEnd = Arrays.copyOf(marks, marks.length + 1);
        withEnd[marks.length] = end;
        HeatHistory history =
            slab(
                thickness,
                Double.parseDouble(one.get("alpha_m2_per_s").asString()),
                law,
                one.get("T_initial_C").asDouble(),
                inside,
                outside,
                withEnd);
        for (int i = 0; i < marks.length; i++) {
          assertThat(history.celsiusAt(place, i))
              .as(one.get("id").asString() + " at " + depth.getKey() + " after " + marks[i])
              .isCloseTo(
                  Double.parseDouble(depth.getValue().get(i).get(1).asString()), within(0.05));
        }
        JsonNode wanted = one.path("equiv_min_at_x_over_L").path(depth.getKey());
        assertThat(wanted.isMissingNode()).as(one.propertyNames().toString()).isFalse();
        double minutes = Double.parseDouble(wanted.asString());
        assertThat(history.minutesAt(place, marks.length, Rule.LOG_MEAN))
            .as(one.get("id").asString() + " equivalents at " + depth.getKey())
            .isCloseTo(minutes, within(0.002 * minutes));
      }
    }
  }

  @Test
  void cureBeforeAndAfterOpeningAndTheSlowestPlaceAgree() {
    for (JsonNode one : Reference.json("trade/slab_cure_and_slowest_point.json").get("cases")) {
      String name = one.get("id").asString();
      double thickness = Double.parseDouble(one.get("thickness_m").asString());
      double opening = one.get("press_open_s").asDouble();
      double end = one.get("end_s").asDouble();
      CureLaw law = new Arrhenius(one.get("Ea_J_per_mol").asDouble(), one.get("Tref_C").asDouble());
      Trace after = Trace.constant(one.get("faces_after_opening_C").asDouble());
      HeatHistory history =
          Conduction.solve(
              new Section(
                  List.of(
                      rubber(
                          "slab",
                          thickness,
                          Double.parseDouble(one.get("alpha_m2_per_s").asString()),
                          law))),
              List.of(
                  span(
                      0,
                      opening,
                      0,
                      Trace.constant(one.get("T_inner_face_C").asDouble()),
                      Trace.constant(one.get("T_outer_face_C").asDouble())),
                  span(opening, end, 0, after, after)),
              new double[] {one.get("T_initial_C").asDouble()},
              new double[] {opening, end});
      double middle = thickness / 2;
      double atOpening = text(one, "centre_equiv_min_to_opening");
      near(history.minutesAt(middle, 0, Rule.LOG_MEAN), atOpening, name);
      near(
          history.minutesAt(middle, 1, Rule.LOG_MEAN) - history.minutesAt(middle, 0, Rule.LOG_MEAN),
          text(one, "centre_equiv_min_after_opening"),
          name);
      assertThat(history.celsiusAt(middle, 0))
          .isCloseTo(text(one, "centre_T_at_opening_C"), within(0.05));
      HeatHistory.Place slowest = history.slowest(0);
      near(slowest.minutes(), text(one, "slowest_equiv_min_to_opening"), name);
      assertThat(slowest.position() / thickness)
          .as(name)
          .isCloseTo(text(one, "slowest_x_over_L_from_inner"), within(0.01));
      near(
          history.minutesAt(0, 0, Rule.TRAPEZOID),
          text(one, "inner_face_equiv_min_to_opening"),
          name);
      near(
          history.minutesAt(thickness, 0, Rule.TRAPEZOID),
          text(one, "outer_face_equiv_min_to_opening"),
          name);
    }
  }

  private static void near(double ours, double wanted, String name) {
    assertThat(ours).as(name).isCloseTo(wanted, within(0.002 * wanted));
  }

  private static double text(JsonNode of, String member) {
    return Double.parseDouble(of.get(member).asString());
  }

  private static double[] doubles(JsonNode numbers) {
    double[] found = new double[numbers.size()];
    for (int i = 0; i < found.length; i++) {
      found[i] = numbers.get(i).asDouble();
    }
    return found;
  }
}

package org.tarebook.thermal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;
import static org.tarebook.thermal.Row.number;

import java.util.Map;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.ReferenceTable;
import org.tarebook.quantity.Unit;

/** Steam and hot water against IAPWS R7-97(2012) and tables computed from it at 50 digits. */
class SteamTests {

  private static double kiloPascal(Map<String, String> row) {
    Unit unit = Unit.of(row.get("unit").equals("psi") ? "[psi]" : row.get("unit"));
    return number(row, "gauge_pressure") * unit.factorTo(Unit.KILOPASCAL).doubleValue();
  }

  @Test
  void agreesWithThePublishedTables() {
    ReferenceTable.read("trade/steam_if97_published.csv")
        .forEach(
            row -> {
              double input = number(row, "input");
              double ours =
                  row.get("quantity").startsWith("psat")
                      ? Saturation.kiloPascalAt(input - 273.15) / 1000
                      : Saturation.celsiusAt(input * 1000) + 273.15;
              double published = number(row, "published_value");
              assertThat(ours).as(row.get("case")).isCloseTo(published, within(2e-9 * published));
            });
  }

  @Test
  void pressuresByTemperatureAgree() {
    ReferenceTable.read("trade/steam_by_temperature.csv")
        .forEach(
            row -> {
              double wanted = number(row, "p_kPa_abs");
              assertThat(Saturation.kiloPascalAt(number(row, "T_C")))
                  .as(row.get("case"))
                  .isCloseTo(wanted, within(1e-9 * wanted));
            });
    ReferenceTable.read("trade/steam_by_fahrenheit.csv")
        .forEach(
            row -> {
              double wanted = number(row, "p_kPa_abs");
              assertThat(Saturation.kiloPascalAt((number(row, "T_F") - 32) * 5 / 9))
                  .as(row.get("case"))
                  .isCloseTo(wanted, within(1e-9 * wanted));
            });
  }

  @Test
  void gaugesNeedTheBarometer() {
    ReferenceTable.read("trade/steam_gauge_to_temperature.csv")
        .forEach(
            row ->
                assertThat(Saturation.celsiusAt(kiloPascal(row) + number(row, "barometer_kPa")))
                    .as(row.get("case"))
                    .isCloseTo(number(row, "Tsat_C"), within(1e-6)));
    ReferenceTable.read("trade/steam_altitude.csv")
        .forEach(
            row -> {
              double barometer = Barometer.kiloPascalAt(number(row, "geopotential_altitude_m"));
              assertThat(barometer)
                  .as(row.get("case"))
                  .isCloseTo(number(row, "barometer_kPa"), within(1e-5));
              assertThat(Saturation.celsiusAt(350 + barometer))
                  .isCloseTo(number(row, "Tsat_C_at_350_kPa_gauge"), within(1e-4));
            });
  }

  @Test
  void airInTheDomeAgrees() {
    for (Map<String, String> row : ReferenceTable.read("trade/steam_air_in_dome.csv")) {
      double pressure = number(row, "p_kPa_abs");
      double celsius = number(row, "T_measured_C");
      DomeSteam seen = DomeSteam.of(pressure, celsius, 0, 0);
      assertThat(seen.depression())
          .as(row.get("case"))
          .isCloseTo(number(row, "depression_K"), within(1e-7));
      if (row.get("direction").equals("superheated_or_wrong")) {
        assertThat(seen.state()).isEqualTo(DomeSteam.State.NOT_SATURATED);
        assertThat(seen.airFraction()).isNull();
      } else {
        double air = number(row, "air_mole_fraction");
        assertThat(DomeSteam.airFraction(pressure, celsius))
            .isCloseTo(air, within(1e-7 * Math.max(air, 0.01)));
        if (air >= 0) {
          assertThat(DomeSteam.celsiusWithAir(pressure, air)).isCloseTo(celsius, within(1e-6));
        }
      }
    }
  }

  @Test
  void airIsNeverClaimedInsideTheSensorsOwnError() {
    assertThat(DomeSteam.of(480, 148, 5, 1.5).state()).isEqualTo(DomeSteam.State.AIR);
    assertThat(DomeSteam.of(480, 148, 5, 2.5).state()).isEqualTo(DomeSteam.State.SATURATED);
    assertThat(DomeSteam.of(480, 148, 5, 2.5).airFraction()).isNull();
    assertThat(DomeSteam.of(480, 148, 5, 2.5).airMost()).isNull();
    assertThat(DomeSteam.of(480, 152, 5, 2.5).state()).isEqualTo(DomeSteam.State.SATURATED);
    assertThat(DomeSteam.of(480, 154, 5, 2.5).state()).isEqualTo(DomeSteam.State.NOT_SATURATED);
  }

  /**
   * The interval is that of the depression: a kelvin either way, where the couple is good to one.
   */
  @Test
  void airHasAnInterval() {
    DomeSteam seen = DomeSteam.of(480, 148, 0, 1);
    assertThat(seen.airFraction()).isEqualTo(DomeSteam.airFraction(480, 148));
    assertThat(seen.airLeast()).isCloseTo(DomeSteam.airFraction(480, 149), within(1e-12));
    assertThat(seen.airMost()).isCloseTo(DomeSteam.airFraction(480, 147), within(1e-12));
    assertThat(seen.airLeast()).isPositive();
  }

  @Test
  void marginsOfHotWaterAgree() {
    for (Map<String, String> row : ReferenceTable.read("trade/hot_water_margin.csv")) {
      Unit degree = row.get("T_unit").equals("Cel") ? Unit.CELSIUS : Unit.FAHRENHEIT;
      double celsius =
          number(row, "water_T") * degree.factorTo(Unit.CELSIUS).doubleValue()
              + degree.offsetTo(Unit.CELSIUS).doubleValue();
      HotWater seen = HotWater.of(kiloPascal(row) + 101.325, celsius, 0, 0);
      assertThat(seen.margin())
          .as(row.get("case"))
          .isCloseTo(number(row, "margin_kPa"), within(1e-6));
      assertThat(seen.subcooling()).isCloseTo(number(row, "subcooling_K"), within(1e-6));
      assertThat(seen.state() == HotWater.State.LIQUID)
          .isEqualTo(row.get("state").equals("liquid"));
    }
  }

  @Test
  void commonPracticeOfTheTradeHolds() {
    // Common practice, no published source: internal water near 300 °F at 240 psi, steam at 300 °F.
    double water = (300 - 32) * 5 / 9.0;
    double pressure = 240 * 6.894757293168361 + 101.325;
    assertThat(HotWater.of(pressure, water, 10, 1.5).state()).isEqualTo(HotWater.State.LIQUID);
    assertThat((Saturation.kiloPascalAt(water) - 101.325) / 6.894757293168361)
        .isCloseTo(52.3, within(0.1));
  }

  @Test
  void refusesWhatIsOutsideTheDomain() {
    for (Map<String, String> row : ReferenceTable.read("trade/steam_domain.csv")) {
      double given = number(row, "value");
      boolean pressure = row.get("function").equals("psat");
      if (row.get("expected").startsWith("error")) {
        assertThatThrownBy(
                () -> {
                  if (pressure) {
                    Saturation.kiloPascalAt(given - 273.15);
                  } else {
                    Saturation.celsiusAt(given * 1000);
                  }
                })
            .as(row.get("case"))
            .isInstanceOf(IllegalArgumentException.class)
            .hasMessageContaining("saturation is known from");
      } else {
        double ours =
            pressure
                ? Saturation.kiloPascalAt(given - 273.15) / 1000
                : Saturation.celsiusAt(given * 1000) + 273.15;
        assertThat(ours)
            .as(row.get("case"))
            .isCloseTo(number(row, "expected"), within(2e-8 * ours));
      }
    }
    assertThatThrownBy(() -> Saturation.kiloPascalAt(Double.NaN))
        .isInstanceOf(IllegalArgumentException.class);
    assertThatThrownBy(() -> Barometer.kiloPascalAt(20000)).hasMessageContaining("altitude");
    assertThatThrownBy(() -> DomeSteam.of(480, 150, -1, 0)).hasMessageContaining("error");
  }

  @Test
  void bothDirectionsAgree() {
    for (double celsius = 0.01; celsius < 373; celsius += 0.37) {
      assertThat(Saturation.celsiusAt(Saturation.kiloPascalAt(celsius)))
          .isCloseTo(celsius, within(1e-6));
    }
  }
}

package org.tarebook.compound;

import java.math.BigDecimal;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Types;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.springframework.stereotype.Service;
import org.tarebook.audit.Actor;
import org.tarebook.compound.KineticsRequest.CureTimeRequest;
import org.tarebook.compound.KineticsRequest.Law;
import org.tarebook.http.Faults;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.plant.Component;
import org.tarebook.plant.Components;
import org.tarebook.plant.Quantity;
import org.tarebook.plant.Register;
import org.tarebook.quantity.Unit;
import org.tarebook.storage.Ids;
import org.tarebook.storage.SqlTime;
import org.tarebook.thermal.ActivationEnergy;
import org.tarebook.thermal.Arrhenius;
import org.tarebook.thermal.CureLaw;
import org.tarebook.thermal.CureTime;
import org.tarebook.thermal.FirstOrderCure;
import org.tarebook.thermal.TemperatureCoefficient;
import tools.jackson.databind.json.JsonMapper;

/** The kinetics of the plant's compounds, in revisions. */
@Service
public class CompoundKinetics {

  private final JdbcClient jdbc;
  private final Components components;
  private final CureMeterCurves curves;
  private final Register.Tools tools;
  private final Ids ids;
  private final JsonMapper json;

  CompoundKinetics(
      JdbcClient jdbc,
      Components components,
      CureMeterCurves curves,
      Register.Tools tools,
      Ids ids,
      JsonMapper json) {
    this.jdbc = jdbc;
    this.components = components;
    this.curves = curves;
    this.tools = tools;
    this.ids = ids;
    this.json = json;
  }

  /** A revision, and whether it was on record before. */
  record Outcome(Kinetics kinetics, boolean replayed) {}

  /**
   * The revision a request names, or the latest.
   *
   * @param pointer where the compound stands in the request
   */
  public Kinetics require(String compound, @Nullable Integer revision, String pointer) {
    List<Kinetics> all = of(compound(compound, pointer));
    return all.stream()
        .filter(one -> revision == null || one.revision() == revision)
        .reduce((earlier, later) -> later)
        .orElseThrow(
            () ->
                Problem.at(
                    ProblemType.UNKNOWN_CODE,
                    pointer,
                    "compound "
                        + compound
                        + " has no kinetics"
                        + (revision == null ? "" : " of revision " + revision)
                        + "; there is no default, record them first"));
  }

  /** The compound a request names. */
  Component compound(String code, String pointer) {
    Component component = components.require(code, pointer);
    requireCompound(component);
    return component;
  }

  /** Refuses a component that is no compound. */
  static void requireCompound(Component component) {
    if (component.kind() != Component.Kind.COMPOUND) {
      throw new Problem(
          ProblemType.RULE_BROKEN,
          component.code()
              + " is a "
              + component.kind()
              + "; kinetics belong to components of kind COMPOUND.");
    }
  }

  /** All revisions of a compound, the first one first. */
  List<Kinetics> of(Component compound) {
    return jdbc.sql("select * from kinetics where component_id = ? order by revision")
        .param(compound.id())
        .query((row, number) -> kinetics(compound.code(), row))
        .list();
  }

  Outcome record(Component compound, KineticsRequest request, Actor actor) {
    Figures figures = figures(request);
    return tools
        .transactions()
        .write(
            () -> {
              jdbc.sql("select id from component where id = ? for update")
                  .param(compound.id())
                  .query(Long.class)
                  .single();
              List<Kinetics> before = of(compound);
              Optional<Kinetics> stored =
                  before.stream()
                      .filter(one -> one.document().key().equals(request.key()))
                      .filter(one -> one.person().equals(actor.name()))
                      .findFirst();
              if (stored.isPresent()) {
                requireSame(request, stored.get());
                return new Outcome(stored.get(), true);
              }
              Kinetics fresh =
                  new Kinetics(
                      ids.next(),
                      compound.code(),
                      before.size() + 1,
                      figures.law(),
                      figures.energyError(),
                      figures.diffusivity(),
                      request.diffusivityUncertainty().movePointLeft(2).doubleValue(),
                      figures.conductivity(),
                      firstOrder(request),
                      request,
                      actor.name(),
                      tools.clock().instant());
              add(compound, fresh);
              tools
                  .audit()
                  .record(
                      actor,
                      "created",
                      "kinetics",
                      compound.code() + "/" + fresh.revision(),
                      request);
              return new Outcome(fresh, false);
            });
  }

  private record Figures(
      CureLaw law, double energyError, double diffusivity, double conductivity) {}

  private Figures figures(KineticsRequest request) {
    Faults faults = new Faults();
    double reference = request.reference().in(Unit.CELSIUS, "/reference");
    if (reference < 50 || reference > 250) {
      faults.add("/reference/value", "rubber cures at 50 to 250 °C; check the unit");
    }
    double diffusivity = request.diffusivity().in(Unit.SQUARE_METRE_PER_SECOND, "/diffusivity");
    double conductivity = request.conductivity().in(Unit.WATT_PER_METRE_KELVIN, "/conductivity");
    if (diffusivity <= 0) {
      faults.add("/diffusivity/value", "must be above 0; rubber has about 0.10 to 0.14 mm2/s");
    }
    if (conductivity <= 0) {
      faults.add("/conductivity/value", "must be above 0; rubber has about 0.2 to 0.4 W/(m.K)");
    }
    if ((request.induction() == null) != (request.t90() == null)) {
      faults.add("/t90", "and induction belong together: give both or none");
    } else if (request.t90() != null
        && request.induction() != null
        && request.t90().compareTo(request.induction()) <= 0) {
      faults.add("/t90", "must be above the induction " + request.induction());
    }
    Law law = request.law();
    Energy energy = null;
    if (law == Law.ARRHENIUS) {
      energy = energy(request, faults);
      if (request.factor() != null || request.factorPer() != null) {
        faults.add("/factor", "belongs to TEMPERATURE_COEFFICIENT");
      }
    } else {
      coefficient(request, faults);
    }
    faults.throwIfAny(ProblemType.RULE_BROKEN);
    return energy == null
        ? new Figures(
            new TemperatureCoefficient(
                java.util.Objects.requireNonNull(request.factor()).doubleValue(),
                java.util.Objects.requireNonNull(request.factorPer()).in(Unit.KELVIN_DIFFERENCE),
                reference),
            0,
            diffusivity,
            conductivity)
        : new Figures(
            new Arrhenius(energy.joules(), reference), energy.error(), diffusivity, conductivity);
  }

  private static void coefficient(KineticsRequest request, Faults faults) {
    if (request.factor() == null || request.factor().compareTo(BigDecimal.ONE) <= 0) {
      faults.add("/factor", "above 1 is needed: how many times faster, 2 for a doubling");
    }
    if (request.factorPer() == null) {
      faults.add("/factorPer", "is needed: for how large a step, 10 K{difference}");
    } else if (request.factorPer().in(Unit.KELVIN_DIFFERENCE, "/factorPer") <= 0) {
      faults.add("/factorPer/value", "must be above 0");
    }
    if (request.activationEnergy() != null
        || request.cureTimes() != null
        || request.curves() != null) {
      faults.add("/activationEnergy", "belongs to ARRHENIUS");
    }
  }

  private record Energy(double joules, double error) {}

  private @Nullable Energy energy(KineticsRequest request, Faults faults) {
    int ways =
        (request.activationEnergy() == null ? 0 : 1)
            + (request.cureTimes() == null ? 0 : 1)
            + (request.curves() == null ? 0 : 1);
    if (ways != 1) {
      faults.add(
          "/activationEnergy",
          "or cureTimes or curves is needed, one of them; there is no default energy");
      return null;
    }
    Quantity said = request.energyUncertainty();
    double error = said == null ? -1 : said.in(Unit.JOULE_PER_MOLE, "/energyUncertainty");
    if (said != null && error < 0) {
      faults.add("/energyUncertainty/value", "cannot be less than nothing");
    }
    if (request.activationEnergy() != null) {
      double joules = request.activationEnergy().in(Unit.JOULE_PER_MOLE, "/activationEnergy");
      if (joules < 20_000 || joules > 400_000) {
        faults.add(
            "/activationEnergy/value",
            "is " + joules + " J/mol; cures lie between 20 and 400 kJ/mol, check the unit");
      }
      if (said == null) {
        faults.add("/energyUncertainty", "is needed beside an energy: how well it is known");
      }
      return new Energy(joules, error);
    }
    List<CureTime> times = new ArrayList<>();
    if (request.cureTimes() != null) {
      for (int i = 0; i < request.cureTimes().size(); i++) {
        CureTimeRequest one = request.cureTimes().get(i);
        times.add(
            new CureTime(
                one.temperature().in(Unit.CELSIUS, "/cureTimes/" + i + "/temperature"),
                one.minutes().doubleValue()));
      }
    } else if (request.curves() != null) {
      for (int i = 0; i < request.curves().size(); i++) {
        times.add(curves.cureTime(request.curves().get(i), "/curves/" + i));
      }
    }
    try {
      ActivationEnergy found = ActivationEnergy.from(times);
      Double ofFit = found.standardError();
      if (ofFit == null && said == null) {
        faults.add(
            "/energyUncertainty",
            "is needed where there are two times only: two leave nothing to judge it by");
      }
      return new Energy(found.joulesPerMole(), said != null ? error : ofFit == null ? -1 : ofFit);
    } catch (IllegalArgumentException refused) {
      faults.add(
          request.cureTimes() == null ? "/curves" : "/cureTimes",
          String.valueOf(refused.getMessage()));
      return null;
    }
  }

  private static @Nullable FirstOrderCure firstOrder(KineticsRequest request) {
    return request.induction() == null || request.t90() == null
        ? null
        : new FirstOrderCure(request.induction().doubleValue(), request.t90().doubleValue());
  }

  private void requireSame(KineticsRequest request, Kinetics stored) {
    List<String> differing = tools.bodies().differences(request, stored.document());
    if (!differing.isEmpty()) {
      throw new Problem(
          ProblemType.KEY_REUSED,
          "The key "
              + request.key()
              + " names revision "
              + stored.revision()
              + ", which differs in "
              + String.join(", ", differing)
              + "; a new revision needs a new key.",
          differing.stream()
              .map(name -> Problem.Fault.at("/" + name, "differs from the stored revision"))
              .toList());
    }
  }

  private void add(Component compound, Kinetics fresh) {
    Arrhenius arrhenius = fresh.law() instanceof Arrhenius of ? of : null;
    TemperatureCoefficient coefficient =
        fresh.law() instanceof TemperatureCoefficient of ? of : null;
    jdbc.sql(
            """
            insert into kinetics (id, component_id, revision, fact_key, law, energy, energy_error,
              factor, factor_per, reference, induction, t90, diffusivity, diffusivity_error,
              conductivity, document, source, person, recorded_at)
            values (:id, :component, :revision, :key, :law, :energy, :energyError, :factor, :per,
              :reference, :induction, :t90, :diffusivity, :diffusivityError, :conductivity,
              :document, :source, :person, :at)
            """)
        .param("id", fresh.id())
        .param("component", compound.id())
        .param("revision", fresh.revision())
        .param("key", fresh.document().key())
        .param("law", fresh.document().law().name())
        .param("energy", arrhenius == null ? null : arrhenius.joulesPerMole(), Types.DOUBLE)
        .param("energyError", fresh.energyError())
        .param("factor", fresh.document().factor(), Types.NUMERIC)
        .param("per", coefficient == null ? null : coefficient.perKelvin(), Types.DOUBLE)
        .param("reference", fresh.law().referenceCelsius())
        .param("induction", fresh.document().induction(), Types.NUMERIC)
        .param("t90", fresh.document().t90(), Types.NUMERIC)
        .param("diffusivity", fresh.diffusivity())
        .param("diffusivityError", fresh.document().diffusivityUncertainty())
        .param("conductivity", fresh.conductivity())
        .param("document", json.writeValueAsString(fresh.document()))
        .param("source", fresh.document().source())
        .param("person", fresh.person())
        .param("at", SqlTime.of(fresh.recordedAt()))
        .update();
  }

  private Kinetics kinetics(String compound, ResultSet row) throws SQLException {
    KineticsRequest document = json.readValue(row.getString("document"), KineticsRequest.class);
    double reference = row.getDouble("reference");
    CureLaw law =
        document.law() == Law.ARRHENIUS
            ? new Arrhenius(row.getDouble("energy"), reference)
            : new TemperatureCoefficient(
                row.getDouble("factor"), row.getDouble("factor_per"), reference);
    return new Kinetics(
        row.getLong("id"),
        compound,
        row.getInt("revision"),
        law,
        row.getDouble("energy_error"),
        row.getDouble("diffusivity"),
        document.diffusivityUncertainty().movePointLeft(2).doubleValue(),
        row.getDouble("conductivity"),
        firstOrder(document),
        document,
        row.getString("person"),
        SqlTime.get(row, "recorded_at"));
  }
}

package org.tarebook.chart;

import io.swagger.v3.oas.annotations.media.Schema;
import jakarta.persistence.CollectionTable;
import jakarta.persistence.Column;
import jakarta.persistence.ElementCollection;
import jakarta.persistence.Entity;
import jakarta.persistence.EnumType;
import jakarta.persistence.Enumerated;
import jakarta.persistence.FetchType;
import jakarta.persistence.JoinColumn;
import jakarta.persistence.OrderColumn;
import jakarta.persistence.Transient;
import java.math.BigDecimal;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collection;
import java.util.EnumSet;
import java.util.List;
import java.util.Set;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import org.tarebook.plant.Coded;
import org.tarebook.quantity.Decimals;
import org.tarebook.quantity.Unit;
import org.tarebook.stats.Estimator;
import org.tarebook.stats.RunRule;

/**
 * A row of the control plan: how one characteristic is taken on one line, and the chart of its
 * readings. What cuts the readings into points never changes; a new way is a new row.
 */
@Entity
public class Chart extends Coded {

  @Column(updatable = false)
  private long characteristicId;

  @Column(updatable = false)
  private long lineId;

  @Enumerated(EnumType.STRING)
  @Column(updatable = false)
  private Kind kind = Kind.INDIVIDUALS;

  @Column(updatable = false)
  private int subgroupSize = 1;

  @Column(updatable = false)
  private String strata = "";

  @Column(updatable = false)
  private String rules = "";

  @ElementCollection(fetch = FetchType.EAGER)
  @CollectionTable(name = "own_rule", joinColumns = @JoinColumn(name = "chart_id"))
  @OrderColumn(name = "place")
  private List<OwnRule> ownRules = new ArrayList<>();

  @Column(updatable = false)
  private @Nullable Double ewmaWeight;

  @Column(updatable = false)
  private @Nullable Double ewmaReach;

  @Column(updatable = false)
  private @Nullable Double cusumAllowance;

  @Column(updatable = false)
  private @Nullable Double cusumDecision;

  @Enumerated(EnumType.STRING)
  private @Nullable Estimator estimator;

  private double confidence = 0.95;
  private String method = "";
  private int sampleSize = 1;
  private String frequency = "";
  private String response = "";
  private @Nullable BigDecimal permissibleError;
  private @Nullable String permissibleErrorUnit;
  private @Nullable Integer checkEveryMinutes;

  @Transient private @Nullable Cut known;

  /** Kinds of charts. */
  @Schema(name = "ChartKind", description = "A kind of control chart.")
  public enum Kind {
    @Schema(description = "Means and ranges of subgroups.")
    XBAR_R,
    @Schema(description = "Means and standard deviations of subgroups.")
    XBAR_S,
    @Schema(description = "Single readings and their moving ranges.")
    INDIVIDUALS,
    @Schema(
        description =
            "Means of subgroups that do not repeat one thing, such as the cavities of a"
                + " load, judged by how the means move; and standard deviations inside the"
                + " subgroups.")
    BETWEEN_WITHIN;

    /** Whether a subgroup repeats one thing, so that the spread inside it judges its mean. */
    public boolean repeats() {
      return this == XBAR_R || this == XBAR_S;
    }

    /** How sigma may be estimated, the usual way first. */
    public List<Estimator> estimators() {
      return switch (this) {
        case XBAR_R -> List.of(Estimator.R_BAR, Estimator.POOLED, Estimator.POOLED_C4);
        case XBAR_S -> List.of(Estimator.S_BAR, Estimator.POOLED, Estimator.POOLED_C4);
        case INDIVIDUALS -> List.of(Estimator.MOVING_RANGE);
        case BETWEEN_WITHIN -> List.of(Estimator.BETWEEN_WITHIN);
      };
    }
  }

  /** What a subgroup never mixes, besides shift and the unit shown. */
  @Schema(
      name = "ChartStratum",
      description = "A property of readings that is never mixed within a subgroup.")
  public enum Stratum {
    @Schema(description = "The station that measured.")
    STATION,
    @Schema(description = "The instrument that measured.")
    INSTRUMENT,
    @Schema(description = "The die, drum, mould or cavity the item came from.")
    DIE,
    @Schema(description = "The lot the item belongs to.")
    LOT,
    @Schema(description = "The operator who measured.")
    OPERATOR
  }

  /**
   * How readings are cut into points and the points judged.
   *
   * @param kind the kind of chart
   * @param subgroupSize readings in one point, taken in order; 1 for individuals
   * @param strata what a subgroup never mixes
   * @param rules the rules that call a point, or run of points, a signal
   */
  public record Cut(Kind kind, int subgroupSize, Set<Stratum> strata, List<RunRule> rules) {}

  /**
   * What studies use where nobody asks for something else. May change.
   *
   * @param estimator of sigma
   * @param confidence of intervals, 0.5 to 0.999
   */
  public record Usual(Estimator estimator, double confidence) {}

  /**
   * How readings are taken, and what is done on a signal. May change.
   *
   * @param method how it is measured
   * @param sampleSize readings taken each time
   * @param frequency how often, in words
   * @param response what is done on a signal, in words
   */
  public record Practice(String method, int sampleSize, String frequency, String response) {}

  /**
   * How the instruments are checked for this row. May change.
   *
   * @param permissibleError largest error at a check, in the unit
   * @param unit of the permissible error
   * @param every they are checked at least this often
   */
  public record Checking(
      @Nullable BigDecimal permissibleError, @Nullable Unit unit, @Nullable Duration every) {}

  /** For JPA. */
  protected Chart() {}

  Chart(String code, String name, long characteristicId, long lineId, Cut cut) {
    super(code, name);
    this.characteristicId = characteristicId;
    this.lineId = lineId;
    this.kind = cut.kind();
    this.subgroupSize = cut.subgroupSize();
    this.strata =
        words(
            EnumSet.copyOf(cut.strata().isEmpty() ? EnumSet.noneOf(Stratum.class) : cut.strata()));
    RuleChoice chosen = RuleChoice.of(cut.rules());
    this.rules = String.join(" ", chosen.published());
    this.ownRules = new ArrayList<>(chosen.own());
    this.ewmaWeight = chosen.ewmaWeight();
    this.ewmaReach = chosen.ewmaReach();
    this.cusumAllowance = chosen.cusumAllowance();
    this.cusumDecision = chosen.cusumDecision();
  }

  /** The characteristic it charts. */
  public long characteristicId() {
    return characteristicId;
  }

  /** The line it is of. */
  public long lineId() {
    return lineId;
  }

  /** How its readings are cut into points, and the points judged. */
  public Cut cut() {
    Cut cut = known;
    if (cut == null) {
      Set<Stratum> apart = EnumSet.noneOf(Stratum.class);
      split(strata).map(Stratum::valueOf).forEach(apart::add);
      List<RunRule> chosen =
          new RuleChoice(
                  split(rules).toList(),
                  ownRules,
                  ewmaWeight,
                  ewmaReach,
                  cusumAllowance,
                  cusumDecision)
              .rules();
      cut = new Cut(kind, subgroupSize, apart, chosen);
      known = cut;
    }
    return cut;
  }

  /** What studies of it use where nobody asks for something else. */
  public Usual usual() {
    return new Usual(estimator == null ? kind.estimators().get(0) : estimator, confidence);
  }

  /** How readings are taken. */
  public Practice practice() {
    return new Practice(method, sampleSize, frequency, response);
  }

  /** How its instruments are checked. */
  public Checking checking() {
    return new Checking(
        permissibleError == null ? null : Decimals.plain(permissibleError),
        permissibleErrorUnit == null ? null : Unit.of(permissibleErrorUnit),
        checkEveryMinutes == null ? null : Duration.ofMinutes(checkEveryMinutes));
  }

  void describe(String name, Usual usual, Practice practice, Checking checking) {
    rename(name);
    estimator = usual.estimator();
    confidence = usual.confidence();
    method = practice.method();
    sampleSize = practice.sampleSize();
    frequency = practice.frequency();
    response = practice.response();
    permissibleError = checking.permissibleError();
    permissibleErrorUnit = checking.unit() == null ? null : checking.unit().code();
    checkEveryMinutes = checking.every() == null ? null : (int) checking.every().toMinutes();
  }

  void retireIf(boolean retired, Instant now) {
    retire(retired, now);
  }

  private static String words(Collection<Stratum> strata) {
    return strata.stream().map(Enum::name).collect(Collectors.joining(" "));
  }

  private static Stream<String> split(String words) {
    return Arrays.stream(words.split(" ")).filter(word -> !word.isEmpty());
  }
}

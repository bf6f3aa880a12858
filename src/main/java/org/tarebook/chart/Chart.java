package org.tarebook.chart;

import jakarta.persistence.Column;
import jakarta.persistence.Entity;
import jakarta.persistence.EnumType;
import jakarta.persistence.Enumerated;
import java.math.BigDecimal;
import java.time.Duration;
import java.time.Instant;
import java.util.Arrays;
import java.util.Collection;
import java.util.EnumSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;
import org.tarebook.plant.Coded;
import org.tarebook.quantity.Decimals;
import org.tarebook.quantity.Unit;
import org.tarebook.stats.ZoneRule;

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

  private String method = "";
  private int sampleSize = 1;
  private String frequency = "";
  private String response = "";
  private @Nullable BigDecimal permissibleError;
  private @Nullable String permissibleErrorUnit;
  private @Nullable Integer checkEveryMinutes;

  /** Kinds of charts. */
  public enum Kind {
    /** Means and ranges of subgroups. */
    XBAR_R,
    /** Means and standard deviations of subgroups. */
    XBAR_S,
    /** Single readings and their moving ranges. */
    INDIVIDUALS
  }

  /** What a subgroup never mixes, besides shift and the unit shown. */
  public enum Stratum {
    STATION,
    INSTRUMENT,
    DIE,
    LOT,
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
  public record Cut(Kind kind, int subgroupSize, Set<Stratum> strata, List<ZoneRule> rules) {}

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
    this.rules = cut.rules().stream().map(ZoneRule::code).collect(Collectors.joining(" "));
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
    Set<Stratum> apart = EnumSet.noneOf(Stratum.class);
    split(strata).map(Stratum::valueOf).forEach(apart::add);
    List<ZoneRule> chosen = split(rules).map(code -> rule(code).orElseThrow()).toList();
    return new Cut(kind, subgroupSize, apart, chosen);
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

  void describe(String name, Practice practice, Checking checking) {
    rename(name);
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

  /** The rule with this code. */
  static Optional<ZoneRule> rule(String code) {
    return ZoneRule.WESTERN_ELECTRIC.stream().filter(rule -> rule.code().equals(code)).findFirst();
  }

  private static String words(Collection<Stratum> strata) {
    return strata.stream().map(Enum::name).collect(Collectors.joining(" "));
  }

  private static java.util.stream.Stream<String> split(String words) {
    return Arrays.stream(words.split(" ")).filter(word -> !word.isEmpty());
  }
}

package org.tarebook.rejects;

import org.jspecify.annotations.Nullable;
import org.tarebook.audit.Actor;
import org.tarebook.storage.CatchUps;
import org.tarebook.storage.Vendor;

/**
 * The statements that reject rates ask: readings and cures of a window, and what belongs to them.
 */
final class RejectSql {

  /** Readings of the window. */
  static final String INSIDE = "r.measured_at >= :from and r.measured_at < :before";

  /** Readings outside the window, by their ids. */
  static final String OUTSIDE =
      "r.id = any(:ids) and (r.measured_at < :from or r.measured_at >= :before)";

  /** The events that unnamed remeasurements remeasure, value by value. */
  static final String FIRSTS =
      "select o.id from reading f left join reading o on o.station_id = f.station_id"
          + " and o.event_key = f.event_key where f.id = any(:firsts) and o.id is not null";

  private static final String CLOSED =
      "d.id is not null and c.closed_at >= :from and c.closed_at < :before";

  private static final String OPEN =
      "d.id is null and c.started_at >= :from and c.started_at < :before";

  private static final String OTHER_CURES =
      "c.id = any(:cures) and y.green_tyre = any(:names)"
          + " and ((d.id is not null and (c.closed_at < :from or c.closed_at >= :before))"
          + " or (d.id is null and (c.started_at < :from or c.started_at >= :before)))";

  private static final String ORDER = "order by name, load_place, root_event_id, id, cavity";

  private RejectSql() {}

  /**
   * How a statement comes by the version that a lock had at the moment: that before the first that
   * was taken from then on. PostgreSQL hashes the versions of all locks once. H2 computes a common
   * table expression anew for each row that it is joined with, and reads one row of an index
   * instead.
   *
   * @param locks what the statement begins with
   * @param join what rows that have the lock are joined with
   * @param version the version
   */
  private record Standing(String locks, String join, String version) {

    static Standing of(Vendor vendor, String lock) {
      return vendor == Vendor.H2
          ? new Standing("", "", byIndex(lock))
          : new Standing(
              "with stood as (select w.id, "
                  + version("w.id", "w.version")
                  + " as version from write_lock w)\n",
              " left join stood v on v.id = " + lock,
              "v.version");
    }

    /** The version alone, by one row of an index for each row that asks. */
    static String byIndex(String lock) {
      return version(lock, "(select w.version from write_lock w where w.id = " + lock + ")");
    }

    private static String version(String lock, String now) {
      return """
          coalesce((select m.version - 1 from lock_moment m where m.lock_id = %s
            and m.taken_at >= :asOf order by m.lock_id, m.taken_at fetch first 1 rows only), %s)"""
          .formatted(lock, now);
    }
  }

  private static Standing ofReadings(Vendor vendor) {
    return Standing.of(vendor, "coalesce(r.chart_id, r.characteristic_id)");
  }

  /**
   * What of the record is looked at, as parts of a statement.
   *
   * @param locks what the statement begins with
   * @param joined what readings {@code r} are joined with
   * @param stood what of them stood
   * @param successor what a successor result {@code s} must satisfy
   * @param later what a later one {@code t} must satisfy to take its place
   * @param uncounted what makes a cause {@code u} stand
   * @param press what cures {@code c} are joined with
   * @param cured what of them stood
   * @param verdict what a verdict {@code d} must satisfy
   * @param next what a later one {@code n} must satisfy to take its place
   */
  record Look(
      String locks,
      String joined,
      String stood,
      String successor,
      String later,
      String uncounted,
      String press,
      String cured,
      String verdict,
      String next) {

    static final Look NOW =
        new Look(
            "",
            "",
            "",
            CatchUps.counts("s"),
            CatchUps.counts("t"),
            "u.until_version is null",
            "",
            "",
            "",
            "");

    static Look of(@Nullable Object asOf, Vendor vendor) {
      if (asOf == null) {
        return NOW;
      }
      Standing readings = ofReadings(vendor);
      Standing presses = Standing.of(vendor, "c.press_id");
      String reading = readings.version();
      return new Look(
          readings.locks(),
          readings.join(),
          "r.lock_version <= " + reading + " and ",
          CatchUps.version("s") + " <= " + reading,
          CatchUps.version("t") + " <= " + reading,
          "u.since_version <= "
              + reading
              + " and (u.until_version is null or u.until_version > "
              + reading
              + ")",
          presses.join(),
          "c.lock_version <= " + presses.version() + " and ",
          " and d.lock_version <= " + presses.version(),
          " and n.lock_version <= " + presses.version());
    }
  }

  /** Readings that also satisfy {@code narrowed}, in the order of items. */
  static String readings(String which, String narrowed, Look look) {
    return look.locks() + selected(which, narrowed, look) + ORDER;
  }

  /** Readings and cavities of cures of the window, in the order of items. */
  static String readingsAndCures(String narrowed, String narrowedCures, Look look) {
    return look.locks()
        + selected(INSIDE, narrowed, look)
        + "union all\n"
        + cured(CLOSED, narrowedCures, look)
        + "union all\n"
        + cured(OPEN, narrowedCures, look)
        + ORDER;
  }

  /** Cavities outside the window that held some tyres. */
  static String otherCures(String narrowedCures, Look look) {
    return look.locks() + cured(OTHER_CURES, narrowedCures, look) + ORDER;
  }

  /**
   * A reading that is the figure of a cure's verdict, of a tyre without a number, belongs to the
   * place in the load: its key begins with {@code cure:}, the cure and a colon, and its die is the
   * cavity.
   */
  private static String selected(String which, String narrowed, Look look) {
    return """
        select r.id, r.measured_at, r.station_id, r.characteristic_id, r.die, r.instrument_id,
          r.result, r.direction, r.event_id, r.root_event_id,
          case when r.root_event_id = r.event_id
            or (r.item_label is not null and r.remeasures_key is null) then r.item_label
            else (select f.item_label from reading f where f.id = r.root_event_id) end as name,
          s.result as later_result, s.direction as later_direction, u.cause,
          case when r.item_label is null and r.posted_by = '%s' and r.event_key like 'cure:%%'
            then substring(r.event_key from 6 for position(':' in substring(r.event_key from 6)) - 1)
              || ' ' || r.die end as load_place,
          0 as cavity, cast(null as bigint) as product_id, cast(null as integer) as samples,
          cast(null as varchar(32)) as reason, cast(null as varchar(8)) as weight
        from reading r%s
        left join successor_result s on s.reading_id = r.id and %s and not exists (
          select 1 from successor_result t where t.reading_id = s.reading_id
          and t.sequence > s.sequence and %s)
        left join uncounted u on u.reading_id = r.id and %s
        where %s%s%s
        """
        .formatted(
            Actor.TAREBOOK.name(),
            look.joined(),
            look.successor(),
            look.later(),
            look.uncounted(),
            look.stood(),
            which,
            narrowed);
  }

  /** Cavities with what their standing verdict says; one without a verdict has no samples. */
  private static String cured(String which, String narrowed, Look look) {
    return """
        select c.id, case when d.id is null then c.started_at else c.closed_at end as measured_at,
          p.station_id, null as characteristic_id, cast(y.cavity as varchar(40)) as die,
          null as instrument_id, null as result, null as direction, null as event_id,
          null as root_event_id, y.green_tyre as name, null as later_result,
          null as later_direction, null as cause,
          case when y.green_tyre is null
            then cast(c.id as varchar(40)) || ' ' || cast(y.cavity as varchar(40)) end as load_place,
          y.cavity, h.product_id, d.samples, q.code as reason, q.weight
        from cure c join press p on p.id = c.press_id join cure_schedule h on h.id = c.schedule_id
        join cure_cavity y on y.cure_id = c.id%s
        left join cure_verdict d on d.cure_id = c.id%s and not exists (
          select 1 from cure_verdict n where n.cure_id = d.cure_id and n.number > d.number%s)
        left join cure_reason q on q.verdict_id = d.id and q.cavity = y.cavity
          and q.weight <> 'REMARK'
        where %s%s%s
        """
        .formatted(look.press(), look.verdict(), look.next(), look.cured(), which, narrowed);
  }

  /** Or shift calendars have moved a moment into another shift since; looked at only where any. */
  private static String orMoved(String moment, boolean any) {
    return any
        ? """
        or exists (select 1 from shift_calendar_change k where k.in_use_at > :asOf
          and %1$s >= k.cut_from and (k.cut_before is null or %1$s < k.cut_before))"""
            .formatted(moment)
        : "";
  }

  /**
   * How many readings of the window were written, kept out, let in, judged anew or moved since.
   *
   * @param moved whether shift calendars have changed since
   */
  static String changedReadings(String narrowed, boolean moved, Vendor vendor) {
    Standing standing = ofReadings(vendor);
    return """
        %s asked as (
          select r.id, r.measured_at, r.lock_version, %s as version
          from reading r%s
          where %s%s
        )
        select count(*) from asked a where a.lock_version > a.version
        or exists (select 1 from uncounted u where u.reading_id = a.id
          and (u.since_version > a.version or u.until_version > a.version))
        or exists (select 1 from successor_result s where s.reading_id = a.id
          and %s > a.version)
        %s
        """
        .formatted(
            standing.locks().isEmpty() ? "with" : standing.locks() + ",",
            standing.version(),
            standing.join(),
            INSIDE,
            narrowed,
            CatchUps.version("s"),
            orMoved("a.measured_at", moved));
  }

  /** How many cavities of the window were loaded, judged or moved into another shift since. */
  static String changedCures(String narrowed, boolean moved) {
    return """
        with asked as (
          select c.id, c.press_id, c.schedule_id, c.lock_version, c.closed_at as counted_at
          from press p join cure c on c.press_id = p.id
          where c.closed_at >= :from and c.closed_at < :before
          union all
          select c.id, c.press_id, c.schedule_id, c.lock_version, c.started_at
          from press p join cure c on c.press_id = p.id
          where c.started_at >= :from and c.started_at < :before and c.closed_at is null
        ), held as (
          select a.*, %s as version from asked a
        )
        select count(*) from held c join cure_schedule h on h.id = c.schedule_id
        join cure_cavity y on y.cure_id = c.id
        where (c.lock_version > c.version or exists (
          select 1 from cure_verdict d where d.cure_id = c.id
          and d.lock_version > c.version)
          %s)%s
        """
        .formatted(Standing.byIndex("a.press_id"), orMoved("c.counted_at", moved), narrowed);
  }

  /**
   * The readings that bear some names. H2 reads the index only, and the left join from the left.
   */
  static String named(Vendor vendor) {
    return vendor == Vendor.H2
        ? "select o.id from unnest(cast(:names as varchar array)) w (name)"
            + " left join reading o on o.item_label = w.name where o.id is not null"
        : "select o.id from reading o where o.item_label = any(:names)";
  }

  /** The cures that held some tyres. */
  static String loaded(Vendor vendor) {
    return vendor == Vendor.H2
        ? "select o.cure_id from unnest(cast(:names as varchar array)) w (name)"
            + " left join cure_cavity o on o.green_tyre = w.name where o.cure_id is not null"
        : "select o.cure_id from cure_cavity o where o.green_tyre = any(:names)";
  }

  /**
   * The readings that remeasure some events. H2 has no partial index, and reads the index only:
   * readings of the events themselves are found too.
   */
  static String remeasuring(Vendor vendor) {
    return vendor == Vendor.H2
        ? "select o.id from unnest(cast(:roots as bigint array)) w (root)"
            + " left join reading o on o.root_event_id = w.root where o.id is not null"
        : "select o.id from reading o where o.root_event_id = any(:roots)"
            + " and o.root_event_id <> o.event_id";
  }
}

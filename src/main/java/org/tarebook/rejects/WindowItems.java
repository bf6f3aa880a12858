package org.tarebook.rejects;

import java.sql.ResultSet;
import java.sql.SQLException;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.EnumSet;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import java.util.function.Consumer;
import org.jspecify.annotations.Nullable;
import org.tarebook.reading.Cause;
import org.tarebook.reading.Direction;
import org.tarebook.reading.Result;
import org.tarebook.storage.SqlTime;

/** Puts the rows of a reading or cavity together, and what was found of an item. */
final class WindowItems {

  private static final Comparator<Measured> ORDER =
      Comparator.comparing(Measured::at).thenComparing(Measured::id);

  private final Map<String, List<Measured>> byItem = new LinkedHashMap<>();
  private final Set<String> names = new HashSet<>();
  private final Set<Long> roots = new HashSet<>();
  private final Set<Long> firsts = new HashSet<>();
  private final Set<Long> known = new HashSet<>();
  private final Set<Cause> causes = EnumSet.noneOf(Cause.class);
  private final Set<String> breaches = new TreeSet<>();
  private boolean doubted;
  private @Nullable Measured reading;
  private String item = "";

  int size() {
    return byItem.size();
  }

  Set<String> names() {
    return names;
  }

  Set<Long> roots() {
    return roots;
  }

  Set<Long> firsts() {
    return firsts;
  }

  /** Readings that are among them. */
  Set<Long> known() {
    return known;
  }

  /** Whether a row of the window is of another item than the row before it. */
  boolean beginsAnother(ResultSet row) throws SQLException {
    return !item.equals(item(row));
  }

  void add(ResultSet row) throws SQLException {
    long id = row.getLong("id");
    boolean cavity = row.getInt("cavity") > 0;
    if (reading == null
        || reading.id() != id
        || (cavity && !row.getString("die").equals(reading.die()))) {
      end();
      item = item(row);
      reading = cavity ? cavity(row, id) : read(row, id);
      if (!cavity) {
        known.add(id);
      }
      note(row, cavity);
    }
    String cause = row.getString("cause");
    if (cause != null) {
      causes.add(Cause.valueOf(cause));
    }
    String weight = row.getString("weight");
    if (weight != null && weight.equals("BREACH")) {
      breaches.add(row.getString("reason"));
    } else if (weight != null) {
      doubted = true;
    }
  }

  /** Ends the reading or cavity, and answers the items. */
  Set<String> end() {
    if (reading != null) {
      byItem
          .computeIfAbsent(item, none -> new ArrayList<>())
          .add(
              reading.cure() == null
                  ? reading.under(causes)
                  : reading.judged(Set.copyOf(breaches), doubted));
      reading = null;
      causes.clear();
      breaches.clear();
      doubted = false;
    }
    return byItem.keySet();
  }

  void giveTo(Consumer<List<Measured>> action) {
    for (List<Measured> readings : byItem.values()) {
      readings.sort(ORDER);
      action.accept(readings);
    }
    byItem.clear();
    names.clear();
    roots.clear();
    firsts.clear();
    known.clear();
  }

  /** Notes by what is found that lies outside the window. */
  private void note(ResultSet row, boolean cavity) throws SQLException {
    String name = row.getString("name");
    if (name != null) {
      names.add(name);
    } else if (!cavity) {
      long root = row.getLong("root_event_id");
      roots.add(root);
      if (root != row.getLong("event_id")) {
        firsts.add(root);
      }
    }
  }

  private static String item(ResultSet row) throws SQLException {
    String name = row.getString("name");
    String place = row.getString("load_place");
    return name != null
        ? "name " + name
        : place != null ? "load " + place : "chain " + row.getLong("root_event_id");
  }

  private static Measured read(ResultSet row, long id) throws SQLException {
    String later = row.getString("later_result");
    String direction = row.getString(later == null ? "direction" : "later_direction");
    return new Measured(
        id,
        SqlTime.get(row, "measured_at"),
        row.getLong("station_id"),
        row.getObject("characteristic_id", Long.class),
        row.getString("die"),
        row.getObject("instrument_id", Long.class),
        Result.valueOf(later == null ? row.getString("result") : later),
        direction == null ? null : Direction.valueOf(direction),
        null,
        false,
        null);
  }

  private static Measured cavity(ResultSet row, long id) throws SQLException {
    Instant at = SqlTime.get(row, "measured_at");
    return new Measured(
        id,
        at,
        row.getLong("station_id"),
        null,
        row.getString("die"),
        null,
        Result.NOT_JUDGED,
        null,
        null,
        false,
        new Measured.Cured(
            row.getObject("product_id", Long.class), row.getInt("samples") > 0, Set.of()));
  }
}

package org.tarebook.cure;

import java.time.DateTimeException;
import java.time.LocalDateTime;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.HashSet;
import java.util.Set;
import org.springframework.stereotype.Service;
import org.tarebook.http.Faults;
import org.tarebook.http.ProblemType;
import org.tarebook.plant.Register;
import tools.jackson.databind.json.JsonMapper;

/** The column plans of the plant's recorders. */
@Service
class ColumnPlans extends Register<ColumnPlan> {

  private static final LocalDateTime EVENING = LocalDateTime.of(2026, 10, 25, 22, 30);

  private final JsonMapper json;

  ColumnPlans(ColumnPlanRepository repository, Tools tools, JsonMapper json) {
    super("column plan", repository, tools);
    this.json = json;
  }

  ColumnPlanDefinition definition(ColumnPlan of) {
    return json.readValue(of.definitionText(), ColumnPlanDefinition.class);
  }

  String text(ColumnPlanDefinition definition) {
    check(definition);
    return json.writeValueAsString(definition);
  }

  private static void check(ColumnPlanDefinition definition) {
    Faults faults = new Faults();
    Set<String> columns = new HashSet<>();
    Set<String> channels = new HashSet<>();
    columns.add(definition.time().column());
    if (definition.stepColumn() != null && !columns.add(definition.stepColumn())) {
      faults.add("/definition/stepColumn", "is the column of moments already");
    }
    for (int i = 0; i < definition.columns().size(); i++) {
      ColumnPlanDefinition.Column column = definition.columns().get(i);
      if (!columns.add(column.column())) {
        faults.add("/definition/columns/" + i + "/column", column.column() + " stands twice");
      }
      if (!channels.add(column.channel())) {
        faults.add("/definition/columns/" + i + "/channel", column.channel() + " stands twice");
      }
    }
    if (definition.decimalComma()
        && definition.separator() == ColumnPlanDefinition.Separator.COMMA) {
      faults.add("/definition/separator", "cannot be a comma where numbers are written with one");
    }
    checkTime(definition.time(), faults);
    faults.throwIfAny(ProblemType.RULE_BROKEN);
  }

  private static void checkTime(ColumnPlanDefinition.Time time, Faults faults) {
    boolean local = time.form() == ColumnPlanDefinition.TimeForm.LOCAL;
    String pattern = time.pattern();
    String zone = time.zone();
    if (!local && (pattern != null || zone != null)) {
      faults.add("/definition/time/form", "must be LOCAL where there is a pattern or a zone");
    }
    if (local && pattern == null) {
      faults.add("/definition/time/pattern", "is needed of local time: dd.MM.uuuu HH:mm:ss");
    }
    if (local && zone == null) {
      faults.add("/definition/time/zone", "is needed of local time: Europe/Berlin");
    }
    if (pattern != null && !readsWhatItWrites(pattern)) {
      faults.add(
          "/definition/time/pattern",
          "is no pattern of a date and time; write it like dd.MM.uuuu HH:mm:ss, with uuuu for the"
              + " year and HH for the hour");
    }
    if (zone != null) {
      try {
        ZoneId unused = ZoneId.of(zone);
      } catch (DateTimeException unknown) {
        faults.add("/definition/time/zone", "is no zone; write it like Europe/Berlin");
      }
    }
  }

  /**
   * Whether a pattern holds all of a date and a time; yyyy has no era and hh no half of the day.
   */
  private static boolean readsWhatItWrites(String pattern) {
    try {
      DateTimeFormatter formatter = SampleCsv.local(pattern);
      return LocalDateTime.parse(EVENING.format(formatter), formatter).equals(EVENING);
    } catch (IllegalArgumentException | DateTimeException unreadable) {
      return false;
    }
  }
}

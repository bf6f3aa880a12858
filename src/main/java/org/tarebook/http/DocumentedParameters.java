package org.tarebook.http;

import io.swagger.v3.oas.models.OpenAPI;
import io.swagger.v3.oas.models.Operation;
import io.swagger.v3.oas.models.parameters.Parameter;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import org.springdoc.core.customizers.OpenApiCustomizer;

/**
 * Completes parameters. One without a description of its own gets that of its name, which may be
 * that of members of this name, and in a path that of its place. An id is text, as answers give it;
 * the example of a list is a list.
 */
class DocumentedParameters implements OpenApiCustomizer {

  /** What a part of a path is, by the part before it. */
  private static final Map<String, String> IN_PATHS =
      Map.ofEntries(
          Map.entry("characteristics", "Code of the characteristic."),
          Map.entry("charts", "Code of the chart, which is a row of the control plan."),
          Map.entry("column-plans", "Code of the column plan."),
          Map.entry("components", "Code of the component."),
          Map.entry("compounds", "Code of the compound."),
          Map.entry("control-plan", "Code of the row of the control plan."),
          Map.entry("corrections", "Number of the correction, counted from 1."),
          Map.entry("cure-meter-curves", "Id of the curve."),
          Map.entry("cure-schedules", "Code of the cure schedule."),
          Map.entry("cures", "Id of the cure."),
          Map.entry("instrument-checks", "Id of the check."),
          Map.entry("instruments", "Code of the instrument."),
          Map.entry("items", "Number of the item."),
          Map.entry("kept-studies", "Code of the kept study."),
          Map.entry("kinetics", "Number of the revision, counted from 1."),
          Map.entry("limit-sets", "Code of the limit set."),
          Map.entry("lines", "Code of the line."),
          Map.entry("measuring-uncertainties", "Id of the measuring uncertainty."),
          Map.entry("presses", "Code of the press."),
          Map.entry("products", "Code of the product."),
          Map.entry("readings", "Id of the reading."),
          Map.entry("revisions", "Number of the revision, counted from 1."),
          Map.entry("settlements", "Number of the settlement, counted from 1."),
          Map.entry("shift-calendars", "Code of the shift calendar."),
          Map.entry("signals", "Id of the signal."),
          Map.entry("specifications", "Number of the revision, counted from 1."),
          Map.entry("stations", "Code of the station."),
          Map.entry("tokens", "Id of the token."),
          Map.entry("verdicts", "Number of the verdict, counted from 1."));

  private static final Map<String, String> BY_NAME =
      Map.ofEntries(
          Map.entry("bladder", "Only cures with this bladder."),
          Map.entry("cavity", "Only cures with a tyre in the cavity of this number."),
          Map.entry("checkedBefore", "Only checks made before this moment."),
          Map.entry("checkedFrom", "Only checks made at this moment or after it."),
          Map.entry("code", "Only entries about the thing with this code."),
          Map.entry("Content-Encoding", "gzip, where the body is compressed."),
          Map.entry("cursor", "The cursor of the page before; left out for the first page."),
          Map.entry("die", "Only readings of items from this die, drum, mould or cavity."),
          Map.entry("differing", "true lists only those that differ."),
          Map.entry("direction", "Only readings outside on this side."),
          Map.entry("estimator", "How sigma is estimated; as the chart does it where left out."),
          Map.entry("greenTyre", "Only cures of the green tyre with this number."),
          Map.entry("kind", "How the readings are charted; as the chart does it where left out."),
          Map.entry("leaf", "Only readings of items on this leaf of a truck."),
          Map.entry("limit", "The most entries on one page."),
          Map.entry("lot", "Only what belongs to this lot."),
          Map.entry("mould", "Only cures with this mould."),
          Map.entry("operator", "Only readings that this operator measured."),
          Map.entry("phase", "Only readings taken in this phase."),
          Map.entry("press", "Only cures in the press with this code."),
          Map.entry("recordedBefore", "Only what was recorded before this moment."),
          Map.entry("recordedFrom", "Only what was recorded at this moment or after it."),
          Map.entry("schedule", "Only cures by the cure schedule with this code."),
          Map.entry("startedBefore", "Only cures that started before this moment."),
          Map.entry("startedFrom", "Only cures that started at this moment or after it."),
          Map.entry("subject", "Only entries about this kind of thing, as entries name it."),
          Map.entry("truck", "Only readings of items on this truck."),
          Map.entry("verdict", "Only cures whose latest verdict is this one."));

  @Override
  public void customise(OpenAPI document) {
    document
        .getPaths()
        .forEach(
            (path, item) ->
                item.readOperations().forEach(operation -> complete(operation, path.split("/"))));
  }

  private static void complete(Operation operation, String[] path) {
    if (operation.getParameters() == null) {
      return;
    }
    for (Parameter parameter : operation.getParameters()) {
      boolean inPath = "path".equals(parameter.getIn());
      if (parameter.getDescription() == null) {
        parameter.setDescription(
            inPath ? ofPlace(path, parameter.getName()) : ofName(parameter.getName()));
      }
      if (inPath && "id".equals(parameter.getName())) {
        RecordSchemas.asId(parameter.getSchema());
      }
      if (parameter.getSchema().getItems() != null
          && parameter.getExample() instanceof String example) {
        parameter.setExample(List.of(example.split(",")));
      }
    }
  }

  private static @Nullable String ofName(String name) {
    String known = BY_NAME.get(name);
    return known == null ? MemberDescriptions.of(name) : known;
  }

  private static @Nullable String ofPlace(String[] path, String name) {
    int place = List.of(path).indexOf("{" + name + "}");
    return place < 1 ? null : IN_PATHS.get(path[place - 1]);
  }
}

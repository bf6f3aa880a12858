package org.tarebook.http;

import io.swagger.v3.oas.models.OpenAPI;
import io.swagger.v3.oas.models.tags.Tag;
import java.util.List;
import java.util.Set;
import java.util.stream.Collectors;
import org.springdoc.core.customizers.OpenApiCustomizer;

/** Describes the tags in use, in the order in which a reader needs them. */
class DocumentedTags implements OpenApiCustomizer {

  private static final List<Tag> TAGS =
      List.of(
          tag(
              "Plant",
              "Lines, stations, instruments, presses, components, products, shift calendars."),
          tag("Specifications", "What is measured, and its limits in dated revisions."),
          tag(
              "Control plan",
              "Which characteristic is charted where, how often and by what rules."),
          tag("Readings", "What instruments showed: taken in, searched, amended."),
          tag("Instrument checks", "Known standards, measured as found and as left."),
          tag("Items", "Things with a number: what was made from what, both ways."),
          tag("Compounds", "What compounds do under heat: kinetics, cure-meter curves."),
          tag(
              "Cure schedules",
              "What a cure should be, in revisions; dry runs and thermocouple studies."),
          tag(
              "Cures",
              "Press loads: what was loaded, what was logged, what came of it. A record, no"
                  + " interlock: pressurised hot water and steam maim; absence of pressure is proved"
                  + " at the vessel, and local codes and licensed practice govern."),
          tag("Charts", "Points, control limits and the baselines they were frozen from."),
          tag("Signals", "What ran out of control, and what was found and done."),
          tag("Capability", "Whether a process in control can hold its limits."),
          tag("Reject rates", "How much failed, where, when and why."),
          tag("Holds", "What may not move on, and what became of it."),
          tag("Access", "Tokens: who may do what."),
          tag("Audit", "Who changed what, and when."),
          tag("Backup", "The whole record as one file in open formats."));

  @Override
  public void customise(OpenAPI document) {
    Set<String> used =
        document.getPaths().values().stream()
            .flatMap(item -> item.readOperations().stream())
            .flatMap(operation -> operation.getTags().stream())
            .collect(Collectors.toSet());
    document.setTags(TAGS.stream().filter(tag -> used.contains(tag.getName())).toList());
  }

  private static Tag tag(String name, String description) {
    return new Tag().name(name).description(description);
  }
}

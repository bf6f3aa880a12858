package org.tarebook.schedule;

import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.springframework.stereotype.Component;
import org.tarebook.compound.CompoundKinetics;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.schedule.ScheduleDefinition.Layer;
import org.tarebook.schedule.ScheduleDefinition.Section;
import org.tarebook.schedule.ScheduleDefinition.WantedOfMedium;

/** Fills in which kinetics of its compounds a schedule means, so that later ones change nothing. */
@Component
class PinnedCompounds {

  private final CompoundKinetics kinetics;

  PinnedCompounds(CompoundKinetics kinetics) {
    this.kinetics = kinetics;
  }

  /**
   * The definition with the revision of every compound filled in: the one sent, else the one that
   * stands at that place of a definition recorded before, else the only one.
   *
   * @throws Problem where a compound has several revisions and none is named
   */
  ScheduleDefinition in(ScheduleDefinition definition, @Nullable ScheduleDefinition before) {
    Section section = definition.section();
    return definition.with(
        section == null ? null : in(section, before),
        definition.media() == null ? null : in(definition.media(), before));
  }

  private List<WantedOfMedium> in(List<WantedOfMedium> media, @Nullable ScheduleDefinition before) {
    List<WantedOfMedium> pinned = new ArrayList<>();
    for (int i = 0; i < media.size(); i++) {
      WantedOfMedium its = media.get(i);
      pinned.add(
          new WantedOfMedium(
              its.name(),
              its.medium(),
              its.compound(),
              pinned(
                  its.compound(),
                  its.revision() != null ? its.revision() : revisionOf(before, i, its.compound()),
                  "/definition/media/" + i),
              its.until(),
              its.minimum(),
              its.maximum(),
              its.hottest()));
    }
    return pinned;
  }

  private static @Nullable Integer revisionOf(
      @Nullable ScheduleDefinition before, int medium, String compound) {
    if (before == null || before.mediaOrNone().size() <= medium) {
      return null;
    }
    WantedOfMedium its = before.mediaOrNone().get(medium);
    return compound.equals(its.compound()) ? its.revision() : null;
  }

  private Section in(Section section, @Nullable ScheduleDefinition before) {
    List<Layer> layers = new ArrayList<>();
    for (int i = 0; i < section.layers().size(); i++) {
      Layer layer = section.layers().get(i);
      String compound = layer.compound();
      layers.add(
          compound == null
              ? layer
              : new Layer(
                  layer.name(),
                  layer.kind(),
                  layer.thickness(),
                  compound,
                  pinned(
                      compound,
                      layer.revision() != null ? layer.revision() : revision(before, i, compound),
                      "/definition/section/layers/" + i),
                  layer.diffusivity(),
                  layer.conductivity(),
                  layer.startsAt()));
    }
    return new Section(layers, section.inside(), section.outside(), section.afterOpening());
  }

  private int pinned(String compound, @Nullable Integer named, String pointer) {
    int found = kinetics.require(compound, named, pointer + "/compound").revision();
    if (named == null && found > 1) {
      throw Problem.at(
          ProblemType.RULE_BROKEN,
          pointer + "/revision",
          "is needed: the kinetics of "
              + compound
              + " have "
              + found
              + " revisions; name the one that cures are to be judged by");
    }
    return found;
  }

  private static @Nullable Integer revision(
      @Nullable ScheduleDefinition before, int layer, String compound) {
    if (before == null
        || before.section() == null
        || before.section().layers().size() <= layer
        || !compound.equals(before.section().layers().get(layer).compound())) {
      return null;
    }
    return before.section().layers().get(layer).revision();
  }
}

package org.tarebook.schedule;

import java.util.List;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import org.tarebook.compound.Kinetics;

/**
 * All of a schedule that cures by heat, with the kinetics of its compounds.
 *
 * @param section of the tyre; absent where the schedule has none
 * @param media whose own equivalents are wanted, in the order of the schedule
 */
public record HeatModel(@Nullable HeatSection section, List<MediumCure> media) {

  /** Where the kinetics of a compound come from. */
  public interface Compounds {
    /**
     * The kinetics of a compound.
     *
     * @param revision the latest where absent
     * @param pointer where the compound stands in a request, for a refusal
     */
    Kinetics require(String compound, @Nullable Integer revision, String pointer);
  }

  /** Reads a schedule. */
  public static HeatModel of(ScheduleDefinition definition, Compounds compounds) {
    return new HeatModel(
        HeatSection.of(definition, compounds).orElse(null), MediumCure.of(definition, compounds));
  }

  /** The kinetics of all of it. */
  public KineticsUsed kinetics() {
    Stream<Kinetics> ofMedia = media.stream().map(MediumCure::kinetics);
    return new KineticsUsed(
        section == null
            ? ofMedia.toList()
            : Stream.concat(section.kinetics().all().stream(), ofMedia).toList());
  }
}

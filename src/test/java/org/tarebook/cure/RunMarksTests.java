package org.tarebook.cure;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.tarebook.cure.Channel.Recording;
import org.tarebook.cure.PieceContent.Mark;
import org.tarebook.schedule.ScheduleDefinition;
import org.tarebook.schedule.ScheduleDefinition.Step;
import org.tarebook.schedule.StepKind;
import tools.jackson.databind.json.JsonMapper;

/** Marks that repeat the one before: a recorder's way of writing, or a second beginning. */
class RunMarksTests {

  private static final Instant START = Instant.parse("2026-03-02T06:00:00Z");

  @Test
  void aRecorderMayNameTheStepOnEachRow() {
    List<Mark> marks = new ArrayList<>();
    for (int at = 0; at <= 300; at += 5) {
      marks.add(mark(at < 60 ? "SHAPE" : "WATER", at));
    }
    assertThat(run(marks).disordered()).isEmpty();
    assertThat(run(marks).parts()).extracting(Run.Part::from).containsExactly(0.0, 60.0);
    marks.remove(20); // one row without a name says nothing
    assertThat(run(marks).disordered()).isEmpty();
  }

  @Test
  void aLoneRepeatIsASecondBeginning() {
    Run run = run(List.of(mark("SHAPE", 0), mark("WATER", 30), mark("WATER", 45)));
    assertThat(run.disordered()).containsExactly("WATER");
    assertThat(run.sure()).isFalse();
    assertThat(run(List.of(mark("SHAPE", 0), mark("WATER", 30))).disordered()).isEmpty();
  }

  private static Mark mark(String step, double at) {
    return new Mark(step, PieceContent.micros(START) + Math.round(at * 1e6));
  }

  private static Run run(List<Mark> marks) {
    double[] samples = new double[122];
    for (int i = 0; i < 61; i++) {
      samples[2 * i] = 5 * i;
      samples[2 * i + 1] = 20 + 0.1 * (i % 3);
    }
    ChannelLog log = CourseTests.log(Recording.SAMPLED, null, samples);
    CureLog cure = new CureLog(START, 101.325, Map.of("IP", log), marks, 61, 0);
    ScheduleDefinition definition =
        new JsonMapper()
            .readValue("{\"steps\": [], \"largestGap\": \"PT15S\"}", ScheduleDefinition.class);
    return Run.of(
        new ScheduleDefinition(
            List.of(step("SHAPE", StepKind.SHAPING), step("WATER", StepKind.HOT_WATER)),
            definition.largestGap(),
            null,
            null,
            null,
            null,
            null,
            null,
            null,
            null,
            null,
            null,
            null,
            null,
            definition.greenTyre()),
        cure,
        300);
  }

  private static Step step(String name, StepKind kind) {
    return new Step(
        name,
        kind,
        Duration.ofSeconds(50),
        Duration.ofSeconds(60),
        Duration.ofSeconds(600),
        List.of());
  }
}

package org.tarebook.cure;

import io.swagger.v3.oas.annotations.Operation;
import io.swagger.v3.oas.annotations.tags.Tag;
import org.springframework.http.MediaType;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.PathVariable;
import org.springframework.web.bind.annotation.RestController;
import org.springframework.web.servlet.mvc.method.annotation.SseEmitter;
import org.tarebook.audit.Actor;

/** {@code /cures/{id}/live}: how a load stands while it runs. */
@Tag(name = "Cures")
@RestController
class LiveController {

  private static final String PATH = "/api/v1/cures/{id}/live";

  private final CureStore cures;
  private final LiveCures live;
  private final LiveStreams streams;

  LiveController(CureStore cures, LiveCures live, LiveStreams streams) {
    this.cures = cures;
    this.live = live;
    this.streams = streams;
  }

  @Operation(
      operationId = "watchCure",
      summary = "Tell how a load stands while it runs",
      description =
          """
          The step that runs, the equivalents so far at the slowest place of each cavity, when they \
          will be enough if temperatures stay as they are, what the media themselves have come to \
          where the schedule wants that, and which channels leave their bands. \
          Asked with Accept: text/event-stream it pushes an event "live" whenever something new has \
          come in, and an event "verdict" when the load is closed. It controls nothing: it opens no \
          press and ends no cure.
          """)
  @GetMapping(path = PATH, produces = MediaType.APPLICATION_JSON_VALUE)
  LiveView now(@PathVariable long id) {
    return live.of(cures.require(id));
  }

  @Operation(operationId = "streamLive", hidden = true)
  @GetMapping(path = PATH, produces = MediaType.TEXT_EVENT_STREAM_VALUE)
  SseEmitter stream(@PathVariable long id, Actor actor) {
    return streams.open(cures.require(id).id(), actor);
  }
}

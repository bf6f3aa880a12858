package org.tarebook.http;

import io.swagger.v3.oas.annotations.Hidden;
import jakarta.servlet.DispatcherType;
import jakarta.servlet.RequestDispatcher;
import jakarta.servlet.http.HttpServletRequest;
import java.net.URI;
import org.jspecify.annotations.Nullable;
import org.springframework.boot.webmvc.error.ErrorController;
import org.springframework.http.MediaType;
import org.springframework.http.ProblemDetail;
import org.springframework.http.ResponseEntity;
import org.springframework.web.bind.annotation.RequestMapping;
import org.springframework.web.bind.annotation.RestController;

/** Answers what failed outside of any controller as a problem document, too. */
@Hidden
@RestController
class UncaughtController implements ErrorController {

  private static final String BROKEN =
      "The request cannot be read to its end. Where it carries many readings, those before the"
          + " break may be stored: send it again with the same keys.";

  /** Adds nothing to an answer that broke after it had begun, such as a stream of events. */
  @RequestMapping("/error")
  @Nullable ResponseEntity<ProblemDetail> refuse(HttpServletRequest request) {
    if (request.getDispatcherType() == DispatcherType.INCLUDE) {
      return null;
    }
    int status =
        request.getAttribute(RequestDispatcher.ERROR_STATUS_CODE) instanceof Integer known
            ? known
            : ProblemType.NOT_FOUND.status().value();
    ProblemType type = ProblemType.ofStatus(status);
    String detail = type == ProblemType.INVALID_REQUEST ? BROKEN : type.help();
    ProblemDetail document = new Problem(type, detail).toDocument(status);
    if (request.getAttribute(RequestDispatcher.ERROR_REQUEST_URI) instanceof String asked) {
      document.setInstance(URI.create(asked));
    }
    return ResponseEntity.status(status)
        .contentType(MediaType.APPLICATION_PROBLEM_JSON)
        .body(document);
  }
}

package org.tarebook.http;

import io.swagger.v3.oas.annotations.Hidden;
import jakarta.servlet.RequestDispatcher;
import jakarta.servlet.http.HttpServletRequest;
import java.net.URI;
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

  @RequestMapping("/error")
  ResponseEntity<ProblemDetail> refuse(HttpServletRequest request) {
    int status =
        request.getAttribute(RequestDispatcher.ERROR_STATUS_CODE) instanceof Integer known
            ? known
            : ProblemType.NOT_FOUND.status().value();
    ProblemType type = ProblemType.ofStatus(status);
    ProblemDetail document = new Problem(type, type.help()).toDocument(status);
    if (request.getAttribute(RequestDispatcher.ERROR_REQUEST_URI) instanceof String asked) {
      document.setInstance(URI.create(asked));
    }
    return ResponseEntity.status(status)
        .contentType(MediaType.APPLICATION_PROBLEM_JSON)
        .body(document);
  }
}

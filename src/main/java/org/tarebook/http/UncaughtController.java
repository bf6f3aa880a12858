package org.tarebook.http;

import io.swagger.v3.oas.annotations.Hidden;
import jakarta.servlet.RequestDispatcher;
import jakarta.servlet.http.HttpServletRequest;
import org.springframework.boot.webmvc.error.ErrorController;
import org.springframework.web.bind.annotation.RequestMapping;
import org.springframework.web.bind.annotation.RestController;

/** Answers what failed outside of any controller as a problem document, too. */
@Hidden
@RestController
class UncaughtController implements ErrorController {

  @RequestMapping("/error")
  void refuse(HttpServletRequest request) {
    ProblemType type =
        request.getAttribute(RequestDispatcher.ERROR_STATUS_CODE) instanceof Integer status
            ? ProblemType.ofStatus(status)
            : ProblemType.NOT_FOUND;
    throw new Problem(type, type.help());
  }
}

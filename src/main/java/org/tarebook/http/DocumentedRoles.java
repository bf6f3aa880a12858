package org.tarebook.http;

import io.swagger.v3.oas.models.OpenAPI;
import io.swagger.v3.oas.models.Operation;
import io.swagger.v3.oas.models.security.SecurityRequirement;
import org.springdoc.core.customizers.OpenApiCustomizer;
import org.springframework.http.HttpMethod;

/**
 * Tells with every operation who may do it: in words, and as security requirements, each with the
 * name of a role that suffices.
 */
class DocumentedRoles implements OpenApiCustomizer {

  private final OperationRoles roles;

  DocumentedRoles(OperationRoles roles) {
    this.roles = roles;
  }

  @Override
  public void customise(OpenAPI document) {
    document
        .getPaths()
        .forEach(
            (path, item) ->
                item.readOperationsMap()
                    .forEach(
                        (method, operation) ->
                            describe(
                                operation, roles.of(HttpMethod.valueOf(method.name()), path))));
  }

  private static void describe(Operation operation, OperationRoles.Said said) {
    operation.setSecurity(
        said.roles().stream()
            .map(role -> new SecurityRequirement().addList(DocumentConfiguration.TOKEN, role))
            .toList());
    if (!said.roles().isEmpty()) {
      operation.setDescription(
          (operation.getDescription() + "\n\n**Roles:** " + said.words()).strip());
    }
  }
}

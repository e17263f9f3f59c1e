from django.urls import path

from portal.evaluations import question_views, views

EVALUATION = "evaluations/<uuid:pk>/"

urlpatterns = [
    path(EVALUATION, views.evaluation, name="evaluation"),
    path(EVALUATION + "pdf/", views.pdf, name="evaluation_pdf"),
    path(EVALUATION + "pdf/again/", views.pdf_again, name="evaluation_pdf_again"),
    path(EVALUATION + "practice/", views.tick, name="evaluation_practice"),
    path(EVALUATION + "questions/", question_views.ask, name="evaluation_ask"),
    path(EVALUATION + "questions/<int:question>/", question_views.answer, name="evaluation_answer"),
    path(EVALUATION + "<str:name>", views.picture, name="evaluation_picture"),
]
